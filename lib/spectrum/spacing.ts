import { quantileOf } from './quantile.ts'

/** How evenly samples follow one another. */
export interface Spacing {
  /** Time between two ticks of the sampling, s. */
  readonly periodS: number
  /** Standard deviation of the sample times about even ticks, in periods. */
  readonly jitter: number
  /** Places where one tick or more went without a sample. */
  readonly gaps: number
}

/** Jitter up to here costs a line at half the sampling rate (π·0.03)²/2 = 0.4 % of its height, and less below. */
export const MOST_EVEN_JITTER = 0.03

/** How much of its surprise a sample moves the next expected tick by. */
const FOLLOW = 0.1
/** Late samples draw the usual step this far from the true one; a recording of another rate is farther off. */
const NEAR_ASKED = 0.2
/** The usual step is the median of so many: it need only be rough. */
const ENOUGH_STEPS = 2000
/** A silence of more periods than this could be miscounted by a rough period: it begins another run. */
const LONG_SILENCE = 20

/**
 * Ticks are counted along the samples, each expected where those before it lead, and a straight line of time over tick
 * gives period and jitter: neither gaps nor late samples shift the rate, and a line above half of it folds by exactly
 * that rate. Counted twice: the usual step is rough, and a period from runs without a long silence counts over all.
 * @param askedS the period that was asked for: counts better than the usual step, where it is near it
 * Needs two samples or more, later ones later (RangeError).
 */
export function spacingOf(times: Float64Array, askedS?: number): Spacing {
  const n = times.length
  if (n < 2) throw new RangeError(`times: expected 2 or more, got ${n}`)
  const steps = Float64Array.from({ length: n - 1 }, (_, i) => (times[i + 1] ?? 0) - (times[i] ?? 0))
  const usual = quantileOf(every(steps, Math.ceil(n / ENOUGH_STEPS)), 0.5)
  const runs = [0]
  steps.forEach((step, i) => {
    if (step > LONG_SILENCE * usual) runs.push(i + 1)
  })
  const isNear = askedS !== undefined && Math.abs(usual / askedS - 1) < NEAR_ASKED
  const rough = isNear ? { periodS: askedS } : lineOf(ticksOf(times, usual), times, runs)
  const ticks = ticksOf(times, rough.periodS)
  let gaps = 0
  for (let i = 1; i < n; i++) if ((ticks[i] ?? 0) - (ticks[i - 1] ?? 0) > 1) gaps += 1
  return { gaps, ...lineOf(ticks, times, [0]) }
}

const every = (values: Float64Array, step: number): Float64Array =>
  Float64Array.from({ length: Math.ceil(values.length / step) }, (_, i) => values[i * step] ?? Number.NaN)

/** Number of the tick each sample belongs to; two that came at once share one. */
function ticksOf(times: Float64Array, periodS: number): Float64Array {
  const ticks = new Float64Array(times.length)
  let expected = times[0] ?? 0
  for (let i = 1; i < times.length; i++) {
    const passed = Math.max(0, Math.round(((times[i] ?? 0) - expected) / periodS))
    ticks[i] = (ticks[i - 1] ?? 0) + passed
    expected += passed * periodS
    expected += FOLLOW * ((times[i] ?? 0) - expected)
  }
  return ticks
}

export const isEven = ({ gaps, jitter }: Spacing): boolean => gaps === 0 && jitter <= MOST_EVEN_JITTER

/** One slope through runs that each have their own level; a run begins at each index of `runs`. */
function lineOf(
  ticks: Float64Array,
  times: Float64Array,
  runs: readonly number[],
): { periodS: number; jitter: number } {
  let [product, tickSquare, timeSquare] = [0, 0, 0]
  runs.forEach((from, r) => {
    const to = runs[r + 1] ?? times.length
    const [tick, time] = [meanOf(ticks, from, to), meanOf(times, from, to)]
    for (let i = from; i < to; i++) {
      const [dTick, dTime] = [(ticks[i] ?? 0) - tick, (times[i] ?? 0) - time]
      product += dTick * dTime
      tickSquare += dTick * dTick
      timeSquare += dTime * dTime
    }
  })
  const periodS = product / tickSquare
  const residual = Math.max(0, timeSquare - periodS * product)
  return { periodS, jitter: Math.sqrt(residual / times.length) / periodS }
}

function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0
  for (let i = from; i < to; i++) sum += values[i] ?? 0
  return sum / (to - from)
}
