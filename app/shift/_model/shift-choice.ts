/**
 * Which stretch of time is looked at, as it stands in the address: the last hours, everything since a
 * start, or from one time to another. The first two follow the gateway's clock.
 */
export type ShiftChoice =
  | { readonly kind: 'last'; readonly hours: number }
  | { readonly kind: 'since'; readonly fromMs: number }
  | { readonly kind: 'between'; readonly fromMs: number; readonly toMs: number }

export interface Span {
  readonly fromMs: number
  readonly toMs: number
}

export const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** Longest stretch on one axis: what is kept at most by default, and more. */
const LONGEST_MS = 400 * DAY_MS
const SHORTEST_MS = 1000

export const DEFAULT_CHOICE: ShiftChoice = { kind: 'last', hours: 8 }
export const LAST_HOURS = [1, 8, 12] as const

/** The choice an address tells; null when it tells none, or one that cannot be. */
export function choiceOf(query: {
  readonly last: string | null
  readonly from: string | null
  readonly to: string | null
}): ShiftChoice | null {
  const fromMs = timeOf(query.from)
  const toMs = timeOf(query.to)
  if (fromMs !== null && toMs !== null)
    return toMs - fromMs >= SHORTEST_MS ? { kind: 'between', fromMs: Math.max(fromMs, toMs - LONGEST_MS), toMs } : null
  if (fromMs !== null) return { kind: 'since', fromMs }
  const hours = Number(query.last?.replace(/h$/, ''))
  return query.last !== null && hours > 0 && hours * HOUR_MS <= LONGEST_MS ? { kind: 'last', hours } : null
}

/** What a choice looks like in the address. */
export function queryOf(choice: ShiftChoice): { last: string | null; from: string | null; to: string | null } {
  switch (choice.kind) {
    case 'last':
      return { last: `${choice.hours}h`, from: null, to: null }
    case 'since':
      return { last: null, from: timeText(choice.fromMs), to: null }
    case 'between':
      return { last: null, from: timeText(choice.fromMs), to: timeText(choice.toMs) }
  }
}

/** ISO 8601 in UTC, without parts that are zero: it reads well in a link. */
export const timeText = (epochMs: number): string => new Date(Math.round(epochMs)).toISOString().replace('.000Z', 'Z')

/** Epoch ms of ISO 8601 or of a number of ms; null for anything else. */
export function timeOf(text: string | null): number | null {
  if (text === null || text === '') return null
  const ms = /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : Date.parse(text)
  return Number.isFinite(ms) && Math.abs(ms) < 8e15 ? ms : null
}

/** The stretch a choice means now. A start that has not come yet begins now. */
export function spanOf(choice: ShiftChoice, nowMs: number): Span {
  switch (choice.kind) {
    case 'last':
      return { fromMs: nowMs - choice.hours * HOUR_MS, toMs: nowMs }
    case 'since':
      return { fromMs: Math.max(Math.min(choice.fromMs, nowMs - SHORTEST_MS), nowMs - LONGEST_MS), toMs: nowMs }
    case 'between':
      return { fromMs: choice.fromMs, toMs: choice.toMs }
  }
}

export const follows = (choice: ShiftChoice): boolean => choice.kind !== 'between'

/** When shifts change: one start of day in minutes after local midnight, and the hours from start to start. */
export interface ShiftPattern {
  readonly startMinutes: number
  readonly hours: number
}

/**
 * The newest shift that has begun at `nowMs`, by the local clock: starts are counted from the first one of
 * that day, so that a night in which the clock is set makes one shift longer or shorter and moves no other.
 */
export function shiftAt({ startMinutes, hours }: ShiftPattern, nowMs: number): Span {
  const starts = [-1, 0, 1].flatMap((day) => startsOfDay(nowMs, day, startMinutes, hours)).sort((a, b) => a - b)
  const next = starts.findIndex((start) => start > nowMs)
  return { fromMs: starts[next - 1] ?? nowMs - hours * HOUR_MS, toMs: starts[next] ?? nowMs }
}

/** The shift before the one that holds `tMs`. */
export function shiftBefore(pattern: ShiftPattern, tMs: number): Span {
  return shiftAt(pattern, shiftAt(pattern, tMs).fromMs - 1)
}

function startsOfDay(nowMs: number, day: number, startMinutes: number, hours: number): number[] {
  const now = new Date(nowMs)
  const count = Math.max(1, Math.floor(24 / hours))
  return Array.from({ length: count }, (_, i) =>
    new Date(now.getFullYear(), now.getMonth(), now.getDate() + day, 0, startMinutes + i * hours * 60).getTime(),
  )
}

/** Minutes after midnight of `HH:MM`; null for anything else. */
export function minutesOf(text: string): number | null {
  const match = /^(\d{1,2}):(\d{2})$/.exec(text)
  if (match === null) return null
  const [hours, minutes] = [Number(match[1]), Number(match[2])]
  return hours < 24 && minutes < 60 ? hours * 60 + minutes : null
}
