import { estimateMean } from '../../lib/statistics/mean-estimate.ts'
import { Moments } from '../../lib/statistics/moments.ts'
import { estimateRatePerHour } from '../../lib/statistics/rate-estimate.ts'

/** Seconds a reading must stand still (common practice, no source), and samples it must be made of. */
export const STEADY_SECONDS = 6
export const STEADY_SAMPLES = 30
const BATCHES = 15
/** A batch mean further from their median than this many scatters of one sample is a step or a knock (common practice, no source). */
const KNOCKED_SIGMAS = 4
const MS_PER_HOUR = 3_600_000

/** A reading that stood still. */
export interface SteadyReading {
  readonly reading: number
  /** Standard uncertainty of the mean: its scatter, with the likeness of neighbours, and what drift was left. */
  readonly u: number
  readonly samples: number
  readonly seconds: number
}

export type GateOutcome =
  | { readonly kind: 'filling'; readonly share: number }
  | { readonly kind: 'moving'; readonly change: number; readonly noise: number; readonly seconds: number }
  | { readonly kind: 'steady'; readonly result: SteadyReading }

/**
 * Whether a reading may be taken: the change over the window, by a straight line, must be small against its own
 * noise, 1 σ of one sample, or under one step of the signal, and no part of the window may stand apart from the
 * rest: the first samples after a weight was hung would (common practice, no source). Times ascend, epoch ms; all
 * samples are good.
 *
 * @param step one step of the reading; 0 for none
 */
export function steadyGate(tMs: readonly number[], y: readonly number[], step: number): GateOutcome {
  const n = tMs.length
  const seconds = n < 2 ? 0 : ((tMs[n - 1] ?? 0) - (tMs[0] ?? 0)) / 1000
  const share = Math.min(seconds / STEADY_SECONDS, n / STEADY_SAMPLES)
  // The newest sample closes the window: a hair short of it is full.
  if (share < 0.98) return { kind: 'filling', share }
  const series = batchesOf(tMs, y)
  const all = new Moments()
  for (const one of y) all.add(one)
  const variance = all.variance ?? 0
  const mean = estimateMean(series, variance)
  const rate = estimateRatePerHour(series)
  if (mean === undefined || rate === undefined) return { kind: 'filling', share: 0.98 }
  const change = Math.abs((rate.value * seconds * 1000) / MS_PER_HOUR)
  // What the line takes away of the variance is change, not noise: a ramp has the variance change²/12.
  const noise = Math.sqrt(Math.max(0, variance - change ** 2 / 12))
  if (change > Math.max(noise, step)) return { kind: 'moving', change, noise, seconds }
  const apart = farthestFromMedian(series.y)
  const scatter = median(series.scatter)
  if (apart > Math.max(KNOCKED_SIGMAS * scatter, step))
    return { kind: 'moving', change: apart, noise: scatter, seconds }
  return {
    kind: 'steady',
    result: { reading: mean.value, u: Math.hypot(mean.u, change / Math.sqrt(12)), samples: n, seconds },
  }
}

function batchesOf(tMs: readonly number[], y: readonly number[]) {
  const batches = Array.from({ length: BATCHES }, () => ({ time: new Moments(), value: new Moments() }))
  for (const [i, value] of y.entries()) {
    const batch = batches[Math.floor((i * BATCHES) / y.length)]
    batch?.time.add(tMs[i] ?? 0)
    batch?.value.add(value)
  }
  const filled = batches.filter(({ value }) => value.n > 0)
  return {
    tMs: filled.map(({ time }) => time.mean),
    n: filled.map(({ value }) => value.n),
    y: filled.map(({ value }) => value.mean),
    /** 1 σ of one sample inside each batch: a step in one of them does not reach the others. */
    scatter: filled.map(({ value }) => Math.sqrt(value.variance ?? 0)),
  }
}

/** Middle of the values; NaN for none. */
function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const middle = sorted.length / 2
  return ((sorted[Math.ceil(middle) - 1] ?? Number.NaN) + (sorted[Math.floor(middle)] ?? Number.NaN)) / 2
}

function farthestFromMedian(values: readonly number[]): number {
  const middle = median(values)
  return Math.max(...values.map((value) => Math.abs(value - middle)))
}
