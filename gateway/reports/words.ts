import { plusMinus, withUnit } from '../../lib/statistics/plus-minus.ts'
import type { PlanField } from '../../shared/schemas/verification/plan.ts'
import type { RecordFigure } from '../../shared/schemas/verification/result.ts'
import type { TestPhase, TestValues } from '../../shared/schemas/verification.ts'
import { type Html, html, typed } from './html.ts'
import type { Standing } from './standing.ts'

export const STANDING_WORDS: Readonly<Record<Standing, string>> = {
  inside: 'inside',
  outside: 'outside',
  undecided: 'undecided',
  unknown: 'unknown',
  'not-done': 'not done',
  'not-here': 'does not apply',
}

export const SIDE_WORDS: Readonly<Record<string, string>> = {
  drive_side: 'drive side',
  operator_side: 'operator side',
  single: 'measuring cell',
}

export const phaseWords = (phase: TestPhase): string => (phase === 'as-found' ? 'as found' : 'as left')

/** "0.970 ± 0.050 mm"; a word where there is no number. */
export function valueWords({ value, U, unit, answer }: Pick<RecordFigure, 'value' | 'U' | 'unit' | 'answer'>): string {
  if (answer !== null) return answer
  return value === null ? 'not known' : withUnit(plusMinus(value, U), unit)
}

/** "drive side, 120 m/min, 250 N"; nothing for the one cell of a cantilever. */
export function whereWords({ side, point }: Pick<RecordFigure, 'side' | 'point'>): string {
  return [side === null || side === 'single' ? '' : (SIDE_WORDS[side] ?? side), point ?? '']
    .filter((part) => part !== '')
    .join(', ')
}

/** "Noise, drive side" */
export function figureWords(figure: Pick<RecordFigure, 'title' | 'side' | 'point'>): string {
  const where = whereWords(figure)
  return where === '' ? figure.title : `${figure.title}, ${where}`
}

/** What was typed, in the words, units and order of the plan it was typed into: "Cycle: 1". An id that the plan does not know stands last, as it is. */
export function typedWords(values: TestValues, fields: readonly PlanField[]): readonly Html[] {
  const planned = fields.flatMap((field) => {
    const value = values[field.id]
    return value === undefined ? [] : [html`<span>${field.label}: ${saidPart(value, field)}</span>`]
  })
  const known = new Set(fields.map(({ id }) => id))
  const others = Object.entries(values).filter(([id]) => !known.has(id))
  return [...planned, ...others.map(([id, value]) => html`<span>${typed(id)}: ${saidPart(value)}</span>`)]
}

function saidPart(value: TestValues[string], field?: PlanField): Html | string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (typeof value === 'number') return withUnit(String(value), field?.unit ?? '')
  return field?.choices?.find((choice) => choice.value === value)?.label ?? typed(value)
}

/** Its beginning, where there is room for no more; the whole stands elsewhere. */
export const shortened = (text: string, most: number): string =>
  text.length <= most ? text : `${text.slice(0, most - 1).replace(/[\s.,:;]+$/, '')}…`
