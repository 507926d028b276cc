import { formatDay } from '../_ui/format.ts'

const DAY_MS = 86_400_000

/** Distances between time marks that a person can count in, ms. */
const STEPS_MS = [
  1,
  2,
  5,
  10,
  20,
  50,
  100,
  200,
  500,
  1000,
  2000,
  5000,
  10_000,
  15_000,
  30_000,
  60_000,
  120_000,
  300_000,
  600_000,
  1_800_000,
  3_600_000,
  7_200_000,
  10_800_000,
  21_600_000,
  43_200_000,
  DAY_MS,
  2 * DAY_MS,
  5 * DAY_MS,
  10 * DAY_MS,
]

/** The shortest countable step that puts no more than `most` marks on `spanMs`. */
export function timeStep(spanMs: number, most: number): number {
  return STEPS_MS.find((step) => spanMs / step <= Math.max(1, most)) ?? 10 * DAY_MS
}

/**
 * Marks between `fromMs` and `toMs` on whole steps of local time. `offsetMs` is local time minus UTC,
 * so that a zone with a half-hour offset still has its marks on the half hour.
 */
export function timeTicks(fromMs: number, toMs: number, stepMs: number, offsetMs: number): number[] {
  const first = Math.ceil((fromMs + offsetMs) / stepMs)
  const last = Math.floor((toMs + offsetMs) / stepMs)
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => (first + i) * stepMs - offsetMs)
}

/** Local time minus UTC at that instant, ms. */
export function localOffsetMs(epochMs: number): number {
  return -new Date(epochMs).getTimezoneOffset() * 60_000
}

const two = (n: number) => String(n).padStart(2, '0')

/** Local time of day; seconds and fractions only as fine as `stepMs` needs, so that every mark reads differently. */
export function clockText(epochMs: number, stepMs: number): string {
  // A mark is a whole number of ms that arithmetic on large floats may miss by a hair.
  const date = new Date(Math.round(epochMs))
  const minutes = `${two(date.getHours())}:${two(date.getMinutes())}`
  if (stepMs >= 60_000) return minutes
  const seconds = `${minutes}:${two(date.getSeconds())}`
  if (stepMs >= 1000) return seconds
  const digits = stepMs >= 100 ? 1 : stepMs >= 10 ? 2 : 3
  return `${seconds}.${String(date.getMilliseconds()).padStart(3, '0').slice(0, digits)}`
}

/** The words of a mark: time of day, and at midnight the day that begins, so that a shift over midnight can be read. */
export function tickText(epochMs: number, stepMs: number): string {
  const date = new Date(Math.round(epochMs))
  const isMidnight = date.getHours() === 0 && date.getMinutes() === 0 && date.getSeconds() === 0
  return stepMs >= DAY_MS || (isMidnight && stepMs >= 600_000) ? formatDay(epochMs) : clockText(epochMs, stepMs)
}
