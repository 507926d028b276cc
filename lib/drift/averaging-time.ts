import type { AllanResult } from '../../shared/schemas/shift.ts'
import { shortDuration } from '../statistics/words.ts'
import { allanCurve } from './allan-deviation.ts'
import type { Tracked } from './tracked.ts'

/** Allan deviation of a quantity, and how long to average by it: to the least deviation, where noise and drift meet (NIST SP 1065, 6). */
export function allanOf({ spec, series }: Tracked): AllanResult {
  const points = allanCurve(series).map(({ m, deviation, n }) => ({
    seconds: (m * series.widthMs) / 1000,
    deviation,
    n,
  }))
  const least = points.reduce<(typeof points)[number] | undefined>(
    (best, point) => (best === undefined || point.deviation < best.deviation ? point : best),
    undefined,
  )
  const told = { quantity: spec.quantity, unit: spec.unit, points }
  if (least === undefined)
    return { ...told, suggestedSeconds: null, sentence: 'Waits for more steady minutes in a row.' }
  if (least === points.at(-1))
    return {
      ...told,
      suggestedSeconds: null,
      sentence: `Averaging helps as far as this stretch can tell: up to ${shortDuration(least.seconds)} and beyond.`,
    }
  return {
    ...told,
    suggestedSeconds: least.seconds,
    sentence: `Averaging helps up to about ${shortDuration(least.seconds)}: from there on the drift outweighs what noise is left.`,
  }
}
