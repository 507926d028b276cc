import { TICKS_PER_MS } from '../../lib/store-codec/times.ts'
import { isGood, type SiValue } from './revision-scales.ts'

/** Widths of roll-ups in seconds, each a multiple of the one before. */
export const ROLL_UP_LEVELS = [10, 60, 600, 3600] as const
export type RollUpLevel = (typeof ROLL_UP_LEVELS)[number]

/** Good samples of one channel in one stretch of time, SI. Two of the same stretch add up. */
export interface RollUp {
  /** Start of the stretch, seconds since 1970. */
  readonly t: number
  n: number
  min: number
  max: number
  sum: number
  sumsq: number
}

const TICKS_PER_SECOND = 1000 * TICKS_PER_MS

/** Roll-ups of samples in order of time, on absolute stretches of `level` seconds; one without a good sample is not in it. */
export function rollUp(
  level: number,
  { ticks, raws, codes }: { readonly ticks: Float64Array; readonly raws: Float64Array; readonly codes: Uint8Array },
  valueAt: SiValue,
): RollUp[] {
  const rows: RollUp[] = []
  let row: RollUp | undefined
  const width = level * TICKS_PER_SECOND
  for (let i = 0; i < ticks.length; i++) {
    const code = codes[i] ?? 0
    const value = isGood(code) ? valueAt(raws[i] ?? Number.NaN, code) : Number.NaN
    if (!Number.isFinite(value)) continue
    const t = Math.floor((ticks[i] ?? 0) / width) * level
    if (row?.t !== t) {
      row = { t, n: 0, min: value, max: value, sum: 0, sumsq: 0 }
      rows.push(row)
    }
    row.n += 1
    row.min = Math.min(row.min, value)
    row.max = Math.max(row.max, value)
    row.sum += value
    row.sumsq += value * value
  }
  return rows
}

/** Roll-ups in order of time drawn together into wider stretches. */
export function wider(rows: readonly RollUp[], level: number): RollUp[] {
  const result: RollUp[] = []
  let row: RollUp | undefined
  for (const one of rows) {
    const t = Math.floor(one.t / level) * level
    if (row?.t !== t) {
      row = { ...one, t }
      result.push(row)
      continue
    }
    row.n += one.n
    row.min = Math.min(row.min, one.min)
    row.max = Math.max(row.max, one.max)
    row.sum += one.sum
    row.sumsq += one.sumsq
  }
  return result
}
