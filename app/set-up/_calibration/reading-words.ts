import { decimalsFor, formatNumber, NBSP } from '../../_ui/format.ts'

/** Decimals of a live reading: those of its step; five digits where it has none. */
export function decimalsOf(step: number | null, reading: number): number {
  if (step !== null) return step >= 1 ? 0 : Math.min(6, Math.max(0, Math.ceil(-Math.log10(step))))
  const before = Math.max(1, Math.floor(Math.log10(Math.max(1, Math.abs(reading)))) + 1)
  return Math.max(0, 5 - before)
}

/** A reading rounded to its own uncertainty, at least to the step of the signal. */
export function readingWords(reading: number, u: number, step: number | null, unit: string): string {
  const finest = Math.max(u, (step ?? 0) / Math.sqrt(12))
  const decimals = finest > 0 ? Math.min(6, decimalsFor(finest)) : decimalsOf(step, reading)
  return `${formatNumber(reading, decimals)}${NBSP}±${NBSP}${formatNumber(finest, decimals)}${NBSP}${unit}`
}
