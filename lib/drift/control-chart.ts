import type { ControlChart, DriftQuantity } from '../../shared/schemas/shift.ts'
import { longRunVariance } from '../statistics/long-run-variance.ts'
import { shortNumber } from '../statistics/words.ts'
import { cusum } from './cusum.ts'
import { ewma, ewmaLimit } from './ewma.ts'
import { MINUTE_MS, type MinuteSeries } from './minute-series.ts'
import { type LongRun, stepsBetween } from './noise-memory.ts'

/** Points from which a chart learns the normal level. */
export const LEARNS_FROM = 90
const LAMBDA = 0.1
/** Limits in standard deviations, and allowance and limit of the sums: see `chartsOf`. */
const L = 3.5
const K = 0.5
const H = 8.5

/**
 * Design: at most one false signal in twenty shifts of 8 h, 390 min of which are watched. A run length that is
 * exponential has its mean at 390/−ln(0.95) min.
 */
export const DESIGNED_FALSE_PER_SHIFT = 0.05
export const DESIGNED_RUN_LENGTH_MINUTES = Math.round(390 / -Math.log(1 - DESIGNED_FALSE_PER_SHIFT))

/** What a chart needs of a series beside it: its noise, with the drift and the steps taken off. */
export interface ChartInput {
  readonly quantity: DriftQuantity
  readonly unit: string
  readonly series: MinuteSeries
  readonly longRun: LongRun
}

/**
 * EWMA (λ = 0.1) and CUSUM (k = 0.5) of a series against the level of its first 90 points.
 *
 * Textbook limits suppose independent values, and minutes of a running web are not. So the charts take what each minute
 * adds to what the one before foretells (L. C. Alwan, H. V. Roberts, J. Bus. Econ. Stat. 6 (1988) 87–95; D. C. Montgomery,
 * C. M. Mastrangelo, J. Qual. Technol. 23 (1991) 179–193), in standard deviations that are widened where memory
 * beyond the last minute is left (its long-run variance is above its variance). The level is known from 90 points alone:
 * the EWMA's limits are L·√(λ/(2 − λ) + 1/90). L = 3.5 and h = 8.5 are set so that seeded shifts of 8 h of white noise, of
 * memories up to 10 min and of mixtures give a false signal in at most 5 %; the tests count them.
 */
export function chartsOf({ quantity, unit, series, longRun }: ChartInput): ControlChart[] {
  const common = {
    quantity,
    designedFalsePerShift: DESIGNED_FALSE_PER_SHIFT,
    designedRunLengthMinutes: DESIGNED_RUN_LENGTH_MINUTES,
  }
  const told = learned(series, longRun)
  if (told === undefined) {
    const left = LEARNS_FROM + 1 - series.y.length
    const sentence =
      left > 0
        ? `Waits: learns the normal level from ${LEARNS_FROM} steady minutes, ${left} more.`
        : 'Waits: the series does not move at all, so nothing tells what is normal.'
    const waiting = {
      ...common,
      state: 'waiting',
      sinceMs: null,
      direction: null,
      normal: null,
      track: null,
      sentence,
    } as const
    return [
      { ...waiting, kind: 'ewma' },
      { ...waiting, kind: 'cusum' },
    ]
  }
  const { scores, timesMs, normal } = told
  const limit = L * Math.sqrt(ewmaLimit(LAMBDA, 1) ** 2 + 1 / LEARNS_FROM)
  const sums = cusum(scores, 0, K)
  const either = sums.high.map((high, i) => (high >= (sums.low[i] as number) ? high : -(sums.low[i] as number)))
  const chart = (kind: ControlChart['kind'], value: number[], most: number): ControlChart => {
    const track = { timesMs, value, limit: most }
    const signal = signalOf(track)
    return { ...common, kind, ...signal, normal, track, sentence: sentenceOf(signal, normal, unit) }
  }
  return [chart('ewma', ewma(scores, LAMBDA, 0), limit), chart('cusum', either, H)]
}

interface Learned {
  readonly scores: number[]
  readonly timesMs: number[]
  readonly normal: NonNullable<ControlChart['normal']>
}

/** What each point after the first 90 adds to what the one before foretells, in standard deviations. */
function learned({ tMs, y, widthMs }: MinuteSeries, { memory }: LongRun): Learned | undefined {
  if (y.length <= LEARNS_FROM || !(memory.innovationSd > 0)) return undefined
  const { lag1 } = memory
  const mean = y.slice(0, LEARNS_FROM).reduce((sum, value) => sum + value, 0) / LEARNS_FROM
  const unforetold = unforetoldSd(tMs, memory)
  const scores: number[] = []
  for (let i = LEARNS_FROM; i < y.length; i += 1) {
    const kept = lag1 ** stepsBetween(tMs, i, widthMs)
    const added = (y[i] as number) - mean - kept * ((y[i - 1] as number) - mean)
    scores.push((added / unforetold) * Math.sqrt((1 - lag1 ** 2) / (1 - kept ** 2)))
  }
  const normal = {
    fromMs: (tMs[0] as number) - widthMs / 2,
    toMs: (tMs[LEARNS_FROM - 1] as number) + widthMs / 2,
    minutes: Math.round((LEARNS_FROM * widthMs) / MINUTE_MS),
    mean,
    sd: memory.sd,
    lag1,
  }
  return { scores, timesMs: tMs.slice(LEARNS_FROM), normal }
}

/**
 * Standard deviation of the innovations, widened where they still hang together: their spectrum at periods of more than
 * about an hour (one cosine for half an hour of minutes, at most 16), where first-order memory has made it flat.
 */
function unforetoldSd(tMs: readonly number[], { innovations, innovationSd }: LongRun['memory']): number {
  const terms = Math.min(16, Math.max(4, Math.floor(tMs.length / 30)))
  const longRun = longRunVariance({ tMs, n: tMs.map(() => 1), y: innovations }, 'line', terms)
  return Math.max(innovationSd, Math.sqrt(longRun?.perSample ?? 0))
}

type Signal = Pick<ControlChart, 'state' | 'sinceMs' | 'direction'>

/** Whether the newest value is beyond the limit, and since when without coming back. */
function signalOf({ timesMs, value, limit }: NonNullable<ControlChart['track']>): Signal {
  const newest = value.at(-1) ?? 0
  if (!(Math.abs(newest) > limit)) return { state: 'in-control', sinceMs: null, direction: null }
  const isUp = newest > 0
  let since = value.length - 1
  while (since > 0 && (isUp ? 1 : -1) * (value[since - 1] as number) > limit) since -= 1
  return { state: 'signal', sinceMs: timesMs[since] ?? null, direction: isUp ? 'up' : 'down' }
}

function sentenceOf({ state, direction }: Signal, { mean, minutes }: Learned['normal'], unit: string): string {
  const level = `the level of the first ${minutes} steady minutes, ${shortNumber(mean)} ${unit}`
  return state === 'signal' ? `Signal: the level has moved ${direction} from ${level}.` : `In control about ${level}.`
}
