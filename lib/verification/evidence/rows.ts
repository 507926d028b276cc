/** A stretch of a zone's recorded samples, of one config revision. */
export interface CapturedRows {
  readonly revision: string
  /** drive_side, operator_side, single, speed, reference … */
  readonly columns: readonly string[]
  /** Epoch ms of each row, ascending. */
  readonly timesMs: Float64Array
  /** SI by column; NaN where a sample is bad or there is none. */
  readonly values: readonly Float64Array[]
  /** The numbers as the device gave them; NaN where none came. */
  readonly raws: readonly Float64Array[]
  /** Quality bytes; `missing` where the column has no sample at that time. */
  readonly codes: readonly Uint8Array[]
}

export interface GoodSamples {
  readonly tMs: readonly number[]
  readonly values: readonly number[]
  readonly raws: readonly number[]
}

/** The good samples of a column, in order of time; none where there is no such column. */
export function goodOf({ columns, timesMs, values, raws, codes }: CapturedRows, column: string): GoodSamples {
  const at = columns.indexOf(column)
  const good: { tMs: number[]; values: number[]; raws: number[] } = { tMs: [], values: [], raws: [] }
  for (let i = 0; i < timesMs.length; i += 1) {
    const value = values[at]?.[i] ?? Number.NaN
    if (codes[at]?.[i] !== 0 || !Number.isFinite(value)) continue
    good.tMs.push(timesMs[i] ?? Number.NaN)
    good.values.push(value)
    good.raws.push(raws[at]?.[i] ?? Number.NaN)
  }
  return good
}
