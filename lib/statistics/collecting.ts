import { batchSeries } from './batch-series.ts'
import type { BivariateMoments } from './bivariate-moments.ts'
import { MIN_BATCHES } from './long-run-variance.ts'
import { AVERAGE_BUCKETS } from './side-statistics.ts'
import type { Bucket, TimeBuckets } from './time-buckets.ts'
import { shortDuration, shortNumber } from './words.ts'

/** A window filled to this share waits for nothing more: its samples are too few. */
const NEARLY_FULL = 0.75

export const NEVER_TOGETHER =
  'the two sides are never read at one instant: put both cells on one device, or give both devices one rate_hz'

/** Why an averaging window has too few batches at `nowMs`: about how long it needs, or which settings never let it. */
export function collectingWords(nowMs: number, buckets: readonly Bucket<unknown>[], averageMs: number): string {
  const batches = buckets.length
  const ranMs = nowMs - (buckets[0]?.firstMs ?? nowMs)
  if (ranMs > NEARLY_FULL * averageMs)
    return `too few good samples in the averaging window of ${shortNumber(averageMs / 1000)} s (${batches} of ${MIN_BATCHES} batches): raise average_s or rate_hz`
  const perBatchMs = Math.max(averageMs / AVERAGE_BUCKETS, batches === 0 ? 0 : ranMs / batches)
  const left = Math.max(1, MIN_BATCHES - batches) * perBatchMs
  return `collecting samples: about ${shortDuration(left / 1000)} more`
}

/** The same for a rate over the drift window. */
export function collectingRateWords(drift: TimeBuckets<BivariateMoments>): string {
  const have = batchSeries(drift.since(Number.NEGATIVE_INFINITY), (stat) => stat.meanX).n.length
  const seconds = ((MIN_BATCHES - Math.min(have, MIN_BATCHES - 1)) * drift.widthMs) / 1000
  return `collecting samples for a rate: about ${shortDuration(seconds)} more`
}
