import type { BatchSeries } from './batch-series.ts'
import { BivariateMoments } from './bivariate-moments.ts'
import { longRunVariance } from './long-run-variance.ts'
import type { Estimate } from './mean-estimate.ts'

const MS_PER_HOUR = 3_600_000

/**
 * Least-squares rate of change per hour of an autocorrelated series, from its batch means.
 *
 * slope = Σn(t − t̄)(y − ȳ)/Σn(t − t̄)²; u² = long-run variance of the residual / Σn(t − t̄)², with the
 * variance taken from cosines that are orthogonal to the straight line (see `longRunVariance`).
 * Undefined with too few batches, or when they share one time.
 */
export function estimateRatePerHour(series: BatchSeries): Estimate | undefined {
  const longRun = longRunVariance(series, 'line')
  const origin = series.tMs[0]
  if (longRun === undefined || origin === undefined) return undefined
  const whole = new BivariateMoments()
  const part = new BivariateMoments()
  for (let i = 0; i < series.n.length; i += 1) {
    part.reset()
    part.add(((series.tMs[i] ?? 0) - origin) / MS_PER_HOUR, series.y[i] ?? 0)
    part.n = series.n[i] ?? 0
    whole.merge(part)
  }
  if (!(whole.mxx > 0)) return undefined
  return {
    value: whole.mxy / whole.mxx,
    u: Math.sqrt(longRun.perSample / whole.mxx),
    dof: longRun.dof,
    n: whole.n,
    effectiveN: null,
  }
}
