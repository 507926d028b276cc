import type { BatchSeries } from '../../statistics/batch-series.ts'
import { estimateMean } from '../../statistics/mean-estimate.ts'
import { Moments } from '../../statistics/moments.ts'
import { t95 } from '../../statistics/student-t.ts'

export interface Told {
  readonly value: number
  readonly u: number
}

/** So many that six cosines tell the long-run variance. */
const BATCHES = 60
/** Two standard uncertainties as those who read a capture take them: with no degrees of freedom told. */
const NORMAL = t95(Number.POSITIVE_INFINITY)

/**
 * Mean of samples that remember one another, with its standard uncertainty; null with fewer than two, from which no
 * uncertainty is known. A capture keeps no degrees of freedom: u is widened by Student's t over the normal's 1.96, so
 * that 1.96 u still covers 95 % (JCGM 100, G.3).
 */
export function meanOf(tMs: readonly number[], values: readonly number[]): Told | null {
  const n = values.length
  if (n < 2) return null
  const all = new Moments()
  for (const value of values) all.add(value)
  const estimate = estimateMean(batched(tMs, values), all.variance ?? 0)
  if (estimate !== undefined) return { value: estimate.value, u: (estimate.u * t95(estimate.dof)) / NORMAL }
  // Too few for batches: one reading's scatter stands for the mean's, which errs to the side of caution.
  return { value: all.mean, u: Math.sqrt(all.variance ?? 0) }
}

function batched(tMs: readonly number[], values: readonly number[]): BatchSeries {
  const count = Math.min(BATCHES, values.length)
  const batches = Array.from({ length: count }, () => ({ time: new Moments(), value: new Moments() }))
  for (const [i, value] of values.entries()) {
    const batch = batches[Math.floor((i * count) / values.length)]
    batch?.time.add(tMs[i] ?? 0)
    batch?.value.add(value)
  }
  return {
    tMs: batches.map(({ time }) => time.mean),
    n: batches.map(({ value }) => value.n),
    y: batches.map(({ value }) => value.mean),
  }
}
