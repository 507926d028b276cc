import { BivariateMoments } from './bivariate-moments.ts'
import { AVERAGE_BUCKETS } from './side-statistics.ts'
import { TimeBuckets } from './time-buckets.ts'
import type { ZoneStatisticsOptions } from './zone-statistics-options.ts'

const DRIFT_BUCKETS = 128

/** The drift window begins with buckets about as fine as the averaging window's, so that a first rate comes early. */
export function driftBuckets({ averageMs, driftMs }: ZoneStatisticsOptions): TimeBuckets<BivariateMoments> {
  const lastWidthMs = driftMs / DRIFT_BUCKETS
  let firstWidthMs = lastWidthMs
  while (firstWidthMs / 2 >= averageMs / AVERAGE_BUCKETS) firstWidthMs /= 2
  return new TimeBuckets({
    firstWidthMs,
    lastWidthMs,
    capacity: DRIFT_BUCKETS + 1,
    make: () => new BivariateMoments(),
  })
}
