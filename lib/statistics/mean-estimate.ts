import { type BatchSeries, weightedSum } from './batch-series.ts'
import { longRunVariance } from './long-run-variance.ts'

/** A value with the standard uncertainty that its own scatter gives it. */
export interface Estimate {
  readonly value: number
  /** Standard uncertainty of the random part; the value's unit. */
  readonly u: number
  readonly dof: number
  /** Samples behind it, and how many independent ones they are worth (at most as many). */
  readonly n: number
  readonly effectiveN: number | null
}

/**
 * Mean of an autocorrelated series, from its batch means: u² = long-run variance / n.
 *
 * `sampleVariance` (n − 1) of single samples gives the effective sample size s²/u². Undefined with too few
 * batches (see `longRunVariance`). A constant series has u = 0: what the digits hide belongs to the resolution.
 */
export function estimateMean(series: BatchSeries, sampleVariance: number): Estimate | undefined {
  const longRun = longRunVariance(series, 'mean')
  if (longRun === undefined) return undefined
  const n = series.n.reduce((sum, k) => sum + k, 0)
  const variance = longRun.perSample / n
  return {
    value: weightedSum(series.n, series.y) / n,
    u: Math.sqrt(variance),
    dof: longRun.dof,
    n,
    effectiveN: variance > 0 ? Math.min(n, sampleVariance / variance) : n,
  }
}
