import { formatAge } from '../format.ts'

/** Data older than this are none: as long as a picture may be old, or three samples of a slow zone. */
const LEAST_SILENCE_S = 1.5
const MISSED_SAMPLES = 3

export interface SideAge {
  readonly name: string
  /** Seconds since its newest usable sample; null when none is known. */
  readonly seconds: number | null
}

export interface DataWords {
  readonly text: string
  readonly isWhole: boolean
}

/** How old the data of a zone are, apart from the link they come over: that of its oldest side, or which side has none. */
export function dataInWords(sides: readonly SideAge[], rateHz: number): DataWords {
  const limit = Math.max(LEAST_SILENCE_S, MISSED_SAMPLES / rateHz)
  const silent = sides.filter(({ seconds }) => seconds === null || seconds >= limit)
  if (silent.length === 0) {
    const oldest = Math.max(...sides.map(({ seconds }) => seconds ?? 0))
    return { text: `Data ${formatAge(oldest)} old.`, isWhole: true }
  }
  if (silent.length < sides.length)
    return { text: silent.map((side) => `${side.name}: ${silenceOf(side.seconds)}.`).join(' '), isWhole: false }
  const known = silent.flatMap(({ seconds }) => (seconds === null ? [] : [seconds]))
  const text = `${silenceOf(known.length === 0 ? null : Math.min(...known))}.`
  return { text: text.charAt(0).toUpperCase() + text.slice(1), isWhole: false }
}

const silenceOf = (seconds: number | null): string =>
  seconds === null ? 'no data yet' : `no data for ${formatAge(seconds)}`
