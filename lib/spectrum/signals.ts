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
  const good = new Float64Array(values.length)
  for (let i = 0; i < good.length; i++) good[i] = qualities[i] === GOOD ? (values[i] ?? Number.NaN) : Number.NaN
  return good
}

/** A force of a zone and how its values come about, N, row by row; NaN where there is none. */
export type ForceSignal = readonly [SpectrumSignal, () => Float64Array]

/** Forces a zone has a spectrum of: both sides with their sum and difference, or the one cell. */
export function forcesOf(rows: ZoneRows): ForceSignal[] {
  const single = goodValues(rows, 'single')
  if (single !== undefined) return [['single', () => single]]
  const drive = goodValues(rows, 'drive_side')
  const operator = goodValues(rows, 'operator_side')
  if (drive === undefined || operator === undefined) return []
  return [
    ['drive_side', () => drive],
    ['operator_side', () => operator],
    ['sum', () => combined(operator, drive, 1)],
    ['difference', () => combined(operator, drive, -1)],
  ]
}

function combined(a: Float64Array, b: Float64Array, times: 1 | -1): Float64Array {
  const both = new Float64Array(a.length)
  for (let i = 0; i < both.length; i++) both[i] = (a[i] ?? Number.NaN) + times * (b[i] ?? Number.NaN)
  return both
}

/**
 * Rows that hold a number, with their times in seconds from the first row; what is missing is left out, not filled. So
 * is a row that is not later than the one before.
 */
export function present(timesMs: Float64Array, values: Float64Array): SignalSamples {
  const origin = timesMs[0] ?? 0
  const times = new Float64Array(values.length)
  const kept = new Float64Array(values.length)
  let count = 0
  let before = Number.NEGATIVE_INFINITY
  for (let i = 0; i < values.length; i++) {
    const at = timesMs[i] ?? Number.NaN
    const value = values[i] ?? Number.NaN
    if (Number.isNaN(value) || !(at > before)) continue
    times[count] = (at - origin) / 1000
    kept[count] = value
    count += 1
    before = at
  }
  return { times: times.subarray(0, count), values: kept.subarray(0, count) }
}
