import { batchSeries } from './batch-series.ts'
import { BivariateMoments } from './bivariate-moments.ts'
import { type Estimate, estimateMean } from './mean-estimate.ts'
import type { Bucket } from './time-buckets.ts'

/** Scale of a side's force before it is compared: 1 along the arrows, 1/k for web tension. */
export interface SideScales {
  readonly drive: number
  readonly operator: number
}

/**
 * (operator − drive)/(operator + drive) as a share (−1 to 1 for loads of one sign), from batches of paired
 * samples: x the drive side, y the operator side.
 *
 * The ratio of the means; its random uncertainty is that of the mean of o − d − I(o + d), over the sum (delta
 * method, JCGM 100 5.1.2 and 5.2), so that what moves both sides together cancels. Undefined with too few
 * batches or a sum of zero; the caller guards a small sum.
 */
export function sideDifference(buckets: readonly Bucket<BivariateMoments>[], scales: SideScales): Estimate | undefined {
  const all = new BivariateMoments()
  for (const bucket of buckets) all.merge(bucket.stat)
  const sum = all.meanOf(scales.drive, scales.operator)
  if (all.n === 0 || sum === 0) return undefined
  const share = all.meanOf(-scales.drive, scales.operator) / sum
  const onDrive = (-(1 + share) * scales.drive) / sum
  const onOperator = ((1 - share) * scales.operator) / sum
  const series = batchSeries(buckets, (stat) => stat.meanOf(onDrive, onOperator))
  const spread = estimateMean(series, all.varianceOf(onDrive, onOperator) ?? 0)
  return spread === undefined ? undefined : { ...spread, value: share }
}

/** ∂I/∂(operator) and ∂I/∂(drive) of I = (o − d)/(o + d). The sum must not be 0. */
export function shareSensitivity(drive: number, operator: number): { drive: number; operator: number } {
  const square = (drive + operator) ** 2
  return { drive: (-2 * operator) / square, operator: (2 * drive) / square }
}
