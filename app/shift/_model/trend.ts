import type { Drift } from '../../../shared/schemas/shift.ts'

/** How a figure drifted: the line through it, and how it may go on. */
export type TrendLine = NonNullable<Drift['line']>

export interface TrendPoint {
  readonly tMs: number
  readonly middle: number
  readonly lo: number
  readonly hi: number
}

const HOUR_MS = 3_600_000

/** Corners of the line's band over the stretch it rests on: value ± U at both ends. */
export function linePoints({ fromMs, toMs, atFrom, atTo, UFrom, UTo }: TrendLine): readonly TrendPoint[] {
  return [
    { tMs: fromMs, middle: atFrom, lo: atFrom - UFrom, hi: atFrom + UFrom },
    { tMs: toMs, middle: atTo, lo: atTo - UTo, hi: atTo + UTo },
  ]
}

/** Where it goes from the end of its stretch until `toMs`, if it drifts on as it did: between the lowest and the highest rate. */
export function forecastPoints(drift: Drift, toMs: number): readonly TrendPoint[] {
  const { line, low, high, rate } = drift
  if (line === null || low === null || high === null || rate.value === null || !(toMs > line.toMs)) return []
  const hours = (toMs - line.toMs) / HOUR_MS
  const start: TrendPoint = { tMs: line.toMs, middle: line.atTo, lo: line.atTo - line.UTo, hi: line.atTo + line.UTo }
  return [
    start,
    {
      tMs: toMs,
      middle: start.middle + rate.value * hours,
      lo: start.lo + Math.min(low, rate.value) * hours,
      hi: start.hi + Math.max(high, rate.value) * hours,
    },
  ]
}
