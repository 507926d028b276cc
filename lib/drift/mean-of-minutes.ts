import { type MinuteSeries, minutesBehind } from './minute-series.ts'
import { longRunOf } from './noise-memory.ts'

/** A mean over minutes with the uncertainty that its own wander gives it. */
export interface MinuteMean {
  readonly value: number
  readonly u: number
  readonly dof: number
  readonly minutes: number
  /** Independent minutes that it is worth: at most as many as there are. */
  readonly effectiveN: number
}

/**
 * Mean of a series and its standard uncertainty √(long-run variance / n), the variance from the cosines of the
 * prewhitened minutes (see `longRunOf`). Undefined with fewer than ten.
 */
export function meanOfMinutes(series: MinuteSeries): MinuteMean | undefined {
  const n = series.y.length
  const value = series.y.reduce((sum, y) => sum + y, 0) / n
  const longRun = longRunOf({ ...series, y: series.y.map((y) => y - value) }, 'mean')
  if (longRun === undefined) return undefined
  const variance = longRun.memory.sd ** 2
  return {
    value,
    u: Math.sqrt(longRun.perPoint / n),
    dof: longRun.dof,
    minutes: minutesBehind(series),
    effectiveN: longRun.perPoint > 0 ? Math.min(n, (n * variance) / longRun.perPoint) : n,
  }
}
