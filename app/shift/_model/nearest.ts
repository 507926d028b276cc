import type { Span } from './shift-choice.ts'

interface Kept {
  readonly keptFromMs: number | null
  readonly keptToMs: number | null
}

/** A stretch as long as the one asked for, moved to the nearest end of what is kept; null when nothing is. */
export function nearestWithData({ fromMs, toMs }: Span, { keptFromMs, keptToMs }: Kept): Span | null {
  if (keptFromMs === null || keptToMs === null) return null
  const length = Math.min(toMs - fromMs, Math.max(1000, keptToMs - keptFromMs))
  const end = Math.min(Math.max(toMs, keptFromMs + length), keptToMs)
  return { fromMs: end - length, toMs: end }
}
