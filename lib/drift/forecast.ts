import type { FigureLimit } from '../../shared/schemas/now.ts'
import type { Forecast } from '../../shared/schemas/shift.ts'
import { shortDuration } from '../statistics/words.ts'

/** What lies further ahead than a week is not told. */
const MOST_HOURS = 168

/** A line at the end of a stretch: value ± U, rate between low and high. */
export interface LineEnd {
  readonly value: number
  readonly U: number
  readonly rate: number
  readonly low: number
  readonly high: number
}

/**
 * When a line reaches its limit if it goes on as it did. The ends of the interval are the soonest and the latest of the
 * four corners of value ± U and the rate's interval: no narrower than a joint 95 % region would give. Where no rate at
 * all lies within the interval, the latest is never; it is told from values within the limit, since the line itself is.
 */
export function forecastOf({ value, U, rate, low, high }: LineEnd, limit: FigureLimit): Forecast {
  const off = value - limit.target
  const { half } = limit
  const at = (distance: number, slope: number): number => hoursTo(distance, slope, half)
  const cornersFrom = (least: number, most: number) => [at(least, low), at(least, high), at(most, low), at(most, high)]
  const hours = at(off, rate)
  const soonest = Math.min(...cornersFrom(off - U, off + U))
  const mayStand = low <= 0 && high >= 0
  const latest = mayStand
    ? Number.POSITIVE_INFINITY
    : Math.max(hours, ...cornersFrom(Math.max(off - U, -half), Math.min(off + U, half)))
  const within = (h: number): number | null => (h <= MOST_HOURS ? h : null)
  const told = { limit, hours: within(hours), earliestHours: within(soonest), latestHours: within(latest) }
  const state = stateOf(Math.abs(off) > half, soonest, latest)
  return { ...told, state, sentence: sentenceOf(state, told) }
}

/** 0 when beyond already, Infinity when never. */
function hoursTo(off: number, slope: number, half: number): number {
  if (Math.abs(off) > half) return 0
  if (slope === 0) return Number.POSITIVE_INFINITY
  return (slope > 0 ? half - off : half + off) / Math.abs(slope)
}

function stateOf(isBeyond: boolean, soonest: number, latest: number): Forecast['state'] {
  if (isBeyond) return 'beyond'
  if (latest <= MOST_HOURS) return 'reaches'
  return soonest <= MOST_HOURS ? 'may-reach' : 'never'
}

type Hours = Pick<Forecast, 'hours' | 'earliestHours' | 'latestHours'>

function sentenceOf(state: Forecast['state'], { hours, earliestHours, latestHours }: Hours): string {
  const words = (h: number | null): string => (h === null ? 'a week' : shortDuration(h * 3600))
  if (state === 'beyond') return 'Beyond its limit already.'
  if (state === 'never') return 'At this rate its limit is not reached within a week.'
  const soonest = `at the soonest in ${words(earliestHours)}`
  if (state === 'may-reach')
    return `May reach its limit: ${soonest}; at the slowest rate within the interval, not within a week.`
  return `Reaches its limit in about ${words(hours)}: ${soonest}, at the latest in ${words(latestHours)}.`
}
