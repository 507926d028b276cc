import { qualityByte } from '../../shared/quality.ts'
import type { SpectrumSignal } from '../../shared/schemas/spectrum.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import type { SignalSamples } from './signal-spectrum.ts'

/** The newest rows of a zone, as columns. */
export interface ZoneRows {
  readonly columns: ZoneInfo['columns']
  /** Epoch ms of each row, in order. */
  readonly timesMs: Float64Array
  readonly values: readonly Float32Array[]
  readonly qualities: readonly Uint8Array[]
}

const GOOD = qualityByte('good')

/** Values of a column, NaN wherever it is not good; undefined for a column the zone has not. */
export function goodValues(rows: ZoneRows, column: ZoneInfo['columns'][number]): Float64Array | undefined {
  const index = rows.columns.indexOf(column)
  const values = rows.values[index]
  const qualities = rows.qualities[index]
  if (values === undefined || qualities === undefined) return undefined
  return Float64Array.from(values, (value, i) => (qualities[i] === GOOD ? value : Number.NaN))
}

/** Forces a zone has a spectrum of, N, each row by row: both sides with their sum and difference, or the one cell. */
export function forcesOf(rows: ZoneRows): (readonly [SpectrumSignal, Float64Array])[] {
  const single = goodValues(rows, 'single')
  if (single !== undefined) return [['single', single]]
  const drive = goodValues(rows, 'drive_side')
  const operator = goodValues(rows, 'operator_side')
  if (drive === undefined || operator === undefined) return []
  return [
    ['drive_side', drive],
    ['operator_side', operator],
    ['sum', drive.map((value, i) => value + (operator[i] ?? Number.NaN))],
    ['difference', drive.map((value, i) => (operator[i] ?? Number.NaN) - value)],
  ]
}

/**
 * Rows that hold a number, with their times in seconds from the first row; what is missing is left out, not filled. So
 * is a row that is not later than the one before.
 */
export function present(timesMs: Float64Array, values: Float64Array): SignalSamples {
  const origin = timesMs[0] ?? 0
  const rows: number[] = []
  let before = Number.NEGATIVE_INFINITY
  values.forEach((value, i) => {
    const at = timesMs[i] ?? Number.NaN
    if (Number.isNaN(value) || !(at > before)) return
    rows.push(i)
    before = at
  })
  return {
    times: Float64Array.from(rows, (i) => ((timesMs[i] ?? 0) - origin) / 1000),
    values: Float64Array.from(rows, (i) => values[i] ?? Number.NaN),
  }
}
