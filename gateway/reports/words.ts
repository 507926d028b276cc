import { plusMinus } from '../../lib/verification/plus-minus.ts'
import type { VerdictState } from '../../shared/schemas/now.ts'
import type { RecordFigure } from '../../shared/schemas/verification.ts'

export const STATE_WORDS: Readonly<Record<VerdictState, string>> = {
  inside: 'inside',
  outside: 'outside',
  undecided: 'undecided',
  unknown: 'unknown',
  'not-done': 'not done',
}

/** A shape for each state, so that colour is never needed: the marks of the page, as characters. */
export const STATE_SHAPES: Readonly<Record<VerdictState, string>> = {
  inside: '[●]',
  outside: '[ ] ▶',
  undecided: '[ ◆]',
  unknown: '[– –]',
  'not-done': '[ ]',
}

export const SIDE_WORDS: Readonly<Record<string, string>> = {
  drive_side: 'drive side',
  operator_side: 'operator side',
  single: 'measuring cell',
}

/** "0.970 ± 0.050 mm"; a word where there is no number. */
export function valueWords({ value, U, unit, answer, verdict }: RecordFigure): string {
  if (answer !== null) return answer
  if (value === null) return verdict.sentence
  return `${plusMinus(value, U)}${unit === '' ? '' : ` ${unit}`}`
}

export function whereWords({ side, point }: Pick<RecordFigure, 'side' | 'point'>): string {
  return [side === null || side === 'single' ? '' : SIDE_WORDS[side], point ?? '']
    .filter((part) => part !== '')
    .join(', ')
}

/** Day, time and zone: "2026-03-09 14:03:22 UTC". */
export const timeWords = (epochMs: number): string =>
  `${new Date(epochMs).toISOString().slice(0, 19).replace('T', ' ')} UTC`
