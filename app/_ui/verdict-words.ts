import type { Figure, VerdictState } from '../../shared/schemas/now.ts'
import { formatDuration, NBSP } from './format.ts'
import { judgedFigure } from './judged-figure.ts'
import type { Units } from './units.tsx'

export const VERDICT_WORDS: Record<VerdictState, string> = {
  inside: 'inside',
  outside: 'outside',
  undecided: 'undecided',
  unknown: 'unknown',
  'not-done': 'not done',
}

/** `±10 %`, or `10 %` for a figure that cannot be negative. */
export function limitInWords(figure: Figure, units: Units, isOneSided: boolean): string | null {
  if (figure.limit === null) return null
  const half = units.plain(figure.limit.half, figure.unit, true)
  if (isOneSided) return half
  if (figure.limit.target === 0) return `±${half}`
  return `${units.plain(figure.limit.target, figure.unit, false)} ±${NBSP}${half}`
}

/**
 * The verdict as a sentence in the reader's units, written from its reason. What it waits for is told
 * by the gateway and kept as it is.
 */
export function verdictSentence(figure: Figure, units: Units, isOneSided: boolean): string {
  const { reason } = figure.verdict
  const limit = limitInWords(figure, units, isOneSided)
  const shown = judgedFigure(figure, units, isOneSided)
  const span = shown === null || shown.U === null ? 'The value' : shown.text
  const [within, beyond] = isOneSided ? ['under', 'above'] : ['within', 'beyond']
  switch (reason.kind) {
    case 'inside':
      return `${span} lies wholly ${within} ${limit ?? 'its limit'}.`
    case 'outside':
      return `${span} lies wholly ${beyond} ${limit ?? 'its limit'}.`
    case 'needs-time':
      return `${span} reaches across the limit: needs about ${formatDuration(reason.seconds)} more.`
    case 'no-time-will-settle':
      return `${span} reaches across the limit, and no measuring time will settle this; the largest part of the uncertainty is ${reason.input}.`
    case 'no-data':
      return figure.waiting ?? 'No good samples.'
    case 'waiting':
      return figure.waiting ?? `${reason.for.charAt(0).toUpperCase()}${reason.for.slice(1)}.`
    case 'no-limit':
      return 'No limit is set: shown for information.'
  }
}
