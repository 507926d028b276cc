import type { FloodLevel } from '../../shared/alarms.ts'

/** The window of the published alarm rates. */
const FLOOD_WINDOW_MS = 600_000

/** Announcements per 10 min and operator position up to which each word holds (ANSI/ISA-18.2). */
export const FLOOD_LIMITS = [
  { level: 'acceptable', upTo: 1 },
  { level: 'manageable', upTo: 2 },
  { level: 'demanding', upTo: 10 },
] as const satisfies readonly { level: FloodLevel; upTo: number }[]
export const FLOOD_SOURCE =
  'ANSI/ISA-18.2: about 1 in 10 min and operator position acceptable, 2 manageable, a flood from more than 10'

export interface FloodFigure {
  /** Announcements in the newest 10 min, of all positions together. */
  readonly announced: number
  readonly perPosition: number
  readonly level: FloodLevel
  /** Less than 10 min when nobody has counted for as long. */
  readonly windowMs: number
}

/** Times of the newest 10 min, epoch ms: (now − 10 min, now]. */
export function inFloodWindow(announcedMs: readonly number[], nowMs: number): number[] {
  return announcedMs.filter((t) => t > nowMs - FLOOD_WINDOW_MS && t <= nowMs)
}

/** How many alarms called for each operator position in the newest 10 min, and what the published rates say of that. */
export function floodFigure(
  announcedMs: readonly number[],
  nowMs: number,
  positions: number,
  countedSinceMs: number,
): FloodFigure {
  const announced = inFloodWindow(announcedMs, nowMs).length
  const perPosition = announced / positions
  const level = FLOOD_LIMITS.find(({ upTo }) => perPosition <= upTo)?.level ?? 'flood'
  return { announced, perPosition, level, windowMs: Math.min(FLOOD_WINDOW_MS, Math.max(0, nowMs - countedSinceMs)) }
}
