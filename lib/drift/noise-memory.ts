import { longRunVariance } from '../statistics/long-run-variance.ts'
import type { MinuteSeries } from './minute-series.ts'

/** A memory beyond this is taken as this: closer to 1 nothing tells it from a drift. */
const MOST_LAG1 = 0.97

/** How the minutes of a series hang together once its line is taken off. */
interface NoiseMemory {
  /** Autocorrelation from one minute to the next, 0 to 0.97. */
  readonly lag1: number
  /** What each point adds to what the one before foretells, of one variance throughout. */
  readonly innovations: readonly number[]
  /** Standard deviation of the points, and of the innovations. */
  readonly sd: number
  readonly innovationSd: number
}

/**
 * First-order memory of a series of mean 0: lag-1 autocorrelation over points that follow one another, with the bias of
 * an estimate from n points added, (1 + 4φ)/n (M. G. Kendall 1954; F. H. C. Marriott, J. A. Pope 1954). Across a hole
 * of m steps the memory is φ^m. A negative autocorrelation counts as none. Undefined with fewer than four points.
 */
function noiseMemory({ tMs, y, widthMs }: MinuteSeries): NoiseMemory | undefined {
  const n = y.length
  if (n < 4) return undefined
  let product = 0
  let pairs = 0
  let square = 0
  for (let i = 0; i < n; i += 1) {
    const value = y[i] as number
    square += value * value
    if (i === 0 || stepsBetween(tMs, i, widthMs) !== 1) continue
    product += value * (y[i - 1] as number)
    pairs += 1
  }
  const raw = pairs === 0 || square === 0 ? 0 : (product / pairs) * (n / square)
  const lag1 = Math.min(MOST_LAG1, Math.max(0, raw + (1 + 4 * raw) / n))
  const innovations = y.map((value, i) => {
    if (i === 0) return value * Math.sqrt(1 - lag1 ** 2)
    const kept = lag1 ** stepsBetween(tMs, i, widthMs)
    return (value - kept * (y[i - 1] as number)) * Math.sqrt((1 - lag1 ** 2) / (1 - kept ** 2))
  })
  return { lag1, innovations, sd: Math.sqrt(square / n), innovationSd: rootMeanSquare(innovations) }
}

export function stepsBetween(tMs: readonly number[], i: number, widthMs: number): number {
  return Math.max(1, Math.round(((tMs[i] as number) - (tMs[i - 1] as number)) / widthMs))
}

/** Variance a point would have if points were independent and their mean, or the slope through them, as uncertain as it is. */
export interface LongRun {
  readonly perPoint: number
  readonly dof: number
  readonly memory: NoiseMemory
}

/**
 * Long-run variance of a series of mean 0 with the line or mean that was `fitted` taken off: of its innovations by the
 * lowest cosines (`longRunVariance`), over (1 − φ)² (prewhitening and recolouring: D. W. K. Andrews, J. C. Monahan,
 * Econometrica 60 (1992) 953–966). So a memory of half an hour in a shift still counts, which the cosines alone miss.
 * Undefined with too few points (10).
 */
export function longRunOf(series: MinuteSeries, fitted: 'mean' | 'line'): LongRun | undefined {
  const memory = noiseMemory(series)
  if (memory === undefined) return undefined
  const { tMs } = series
  const told = longRunVariance({ tMs, n: tMs.map(() => 1), y: memory.innovations }, fitted)
  if (told === undefined) return undefined
  return { perPoint: told.perSample / (1 - memory.lag1) ** 2, dof: told.dof, memory }
}

const rootMeanSquare = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length)
