import type { Side } from '../../shared/sample.ts'
import type { PlanCapture, PlanField } from '../../shared/schemas/verification/plan.ts'
import type { TestValues } from '../../shared/schemas/verification.ts'
import { SIDE_WORDS } from '../geometry/sided.ts'

type Extra = Partial<Pick<PlanField, 'hint' | 'required' | 'preset' | 'side'>>
const base = (id: string, label: string, extra: Extra) => ({
  id,
  label,
  side: extra.side ?? null,
  required: extra.required ?? true,
  hint: extra.hint ?? null,
  ...(extra.preset === undefined ? {} : { preset: extra.preset }),
})

export const numberField = (id: string, label: string, unit: string, extra: Extra = {}): PlanField => ({
  ...base(id, label, extra),
  kind: 'number',
  unit,
})
export const yesNoField = (id: string, label: string, extra: Extra = {}): PlanField => ({
  ...base(id, label, extra),
  kind: 'yes-no',
  unit: null,
})
export const textField = (id: string, label: string, extra: Extra = {}): PlanField => ({
  ...base(id, label, extra),
  kind: 'text',
  unit: null,
})
export const choiceField = (
  id: string,
  label: string,
  choices: NonNullable<PlanField['choices']>,
  extra: Extra = {},
): PlanField => ({ ...base(id, label, extra), kind: 'choice', unit: null, choices })

/** The same for each side: ids end in the side, labels in its name where there are two. */
export function perSide(
  sides: readonly Side[],
  of: (suffix: string, where: string, side: Side) => readonly PlanField[],
) {
  return sides.flatMap((side) => of(side, sides.length === 1 ? '' : `, ${SIDE_WORDS[side]}`, side))
}

/** A typed number; undefined when it was not typed or is no number. */
export function typed(values: TestValues, id: string): number | undefined {
  const value = values[id]
  return typeof value === 'number' && Number.isFinite(value) ? value : undefined
}
export function said(values: TestValues, id: string): boolean | undefined {
  const value = values[id]
  return typeof value === 'boolean' ? value : undefined
}
export function chosen(values: TestValues, id: string): string | undefined {
  const value = values[id]
  return typeof value === 'string' && value !== '' ? value : undefined
}

/** Labels of required fields that nobody filled in with what they ask for, as a list in words; empty when all are. */
export function missingFields(fields: readonly PlanField[], values: TestValues): string {
  const missing = fields.filter((field) => field.required && !isFilled(field, values))
  return missing.map(({ label }) => label.charAt(0).toLowerCase() + label.slice(1)).join('; ')
}

/** Something of another kind than the field's is no answer: it would be judged as one that nobody gave. */
function isFilled({ id, kind, choices }: PlanField, values: TestValues): boolean {
  switch (kind) {
    case 'number':
      return typed(values, id) !== undefined
    case 'yes-no':
      return said(values, id) !== undefined
    case 'choice':
      return choices?.some(({ value }) => value === values[id]) === true
    case 'text':
      return chosen(values, id) !== undefined
  }
}

type CaptureExtra = Partial<Pick<PlanCapture, 'side' | 'required' | 'times' | 'fields'>>
export const captureOf = (
  id: string,
  label: string,
  instruction: string,
  gate: PlanCapture['gate'],
  seconds: number,
  extra: CaptureExtra = {},
): PlanCapture => ({
  id,
  label,
  instruction,
  gate,
  seconds,
  side: extra.side ?? null,
  required: extra.required ?? true,
  times: extra.times ?? 1,
  fields: extra.fields ?? [],
})
