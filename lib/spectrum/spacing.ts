import { quantileOf } from './quantile.ts'

/** How evenly samples follow one another. */
export interface Spacing {
  /** Usual time between two samples, s: the median. */
  readonly periodS: number
  /** Standard deviation of the sample times about even ones, in periods; NaN where a gap leaves no even times. */
  readonly jitter: number
  /** Times between two samples of more than 1½ periods, or under half a one. */
  readonly gaps: number
}

/** Jitter up to here costs a line at half the sampling rate (π·0.03)²/2 = 0.4 % of its height, and less below. */
export const MOST_EVEN_JITTER = 0.03

/** Needs two samples or more, in order of time (RangeError). */
export function spacingOf(times: Float64Array): Spacing {
  const n = times.length
  if (n < 2) throw new RangeError(`times: expected 2 or more, got ${n}`)
  const steps = Float64Array.from({ length: n - 1 }, (_, i) => (times[i + 1] ?? 0) - (times[i] ?? 0))
  const periodS = quantileOf(steps, 0.5)
  const gaps = steps.reduce((count, step) => count + (step > 1.5 * periodS || step < 0.5 * periodS ? 1 : 0), 0)
  return { periodS, gaps, jitter: gaps > 0 ? Number.NaN : jitterOf(times) }
}

export const isEven = ({ gaps, jitter }: Spacing): boolean => gaps === 0 && jitter <= MOST_EVEN_JITTER

/** Mean period over the whole stretch; for even samples the better one. */
export const meanPeriod = (times: Float64Array): number =>
  ((times[times.length - 1] ?? 0) - (times[0] ?? 0)) / (times.length - 1)

/** Standard deviation about the straight line of time over index, in periods. */
function jitterOf(times: Float64Array): number {
  const n = times.length
  const middle = (n - 1) / 2
  let [mean, product, square] = [0, 0, 0]
  for (const t of times) mean += t / n
  for (let i = 0; i < n; i++) {
    product += (i - middle) * ((times[i] ?? 0) - mean)
    square += (i - middle) ** 2
  }
  const period = product / square
  let residual = 0
  for (let i = 0; i < n; i++) residual += ((times[i] ?? 0) - mean - period * (i - middle)) ** 2
  return Math.sqrt(residual / n) / period
}
