import type { PlanCapture, PlanField, PlanTest } from '../../../shared/schemas/verification/plan.ts'
import type { TestValues } from '../../../shared/schemas/verification.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import type { Draft } from './draft-store.ts'

/** What a test would be judged by: what was typed, and what the plan fills in until something else is typed. */
export const valuesOf = ({ fields }: Pick<PlanTest, 'fields'>, { typed, values }: Draft): TestValues => ({
  ...presetsOf(fields, typed, ''),
  ...values,
})

/** The same for what is told with the next capture of a kind. */
export const nextValues = ({ id, fields }: Pick<PlanCapture, 'id' | 'fields'>, { typed, next }: Draft): TestValues => ({
  ...presetsOf(fields, typed, `${id}.`),
  ...next[id],
})

/** A field that was emptied, or holds what is no number, has no preset: nobody sees it there. */
function presetsOf(fields: readonly PlanField[], typed: Draft['typed'], prefix: string): TestValues {
  const shown = fields.flatMap(({ id, preset }) =>
    preset === undefined || prefix + id in typed ? [] : [[id, preset] as const],
  )
  return Object.fromEntries(shown)
}

/** Number fields that hold what is no number; an empty one is only missing. */
export const wrongNumbers = (fields: readonly PlanField[], typed: Draft['typed'], prefix = ''): readonly PlanField[] =>
  fields.filter(({ id, kind }) => {
    const text = typed[prefix + id] ?? ''
    return kind === 'number' && text.trim() !== '' && typedNumber(text) === null
  })
