import type { ActArgument, TrainingAct } from '../../shared/schemas/training.ts'
import { catalogue, type ListedAct } from '../technician/catalogue.ts'

/** What each argument is called, and its unit; ids of arguments are the acts'. */
const ARGUMENTS: Readonly<Record<string, { readonly title: string; readonly unit: string | null }>> = {
  side: { title: 'Side', unit: null },
  newtons: { title: 'Force', unit: 'N' },
  direction: { title: 'Direction, counter-clockwise from downstream', unit: '°' },
  kg: { title: 'Mass', unit: 'kg' },
  at_mm: { title: 'From mid-span, towards the operator side', unit: 'mm' },
  path: { title: 'Path of the rope', unit: '°' },
  to_deg: { title: 'Direction, counter-clockwise from downstream', unit: '°' },
  to_mm: { title: 'Clearance', unit: 'mm' },
  speed_m_min: { title: 'Speed', unit: 'm/min' },
  seconds: { title: 'How long', unit: 's' },
  kilohm: { title: 'Resistor', unit: 'kΩ' },
  mv_v: { title: 'Signal', unit: 'mV/V' },
  filter_hz: { title: 'Filter', unit: 'Hz' },
  range_mv_v: { title: 'Range', unit: 'mV/V' },
  zero_mv_v: { title: 'Zero', unit: 'mV/V' },
  span_factor: { title: 'Span factor', unit: null },
  towards_operator_mm: { title: 'Towards the operator side', unit: 'mm' },
}

const CHOICE_WORDS: Readonly<Record<string, string>> = {
  drive_side: 'Drive side',
  operator_side: 'Operator side',
  'as the web pulls': 'As the web pulls',
  web: 'Along the web',
}

type Schema = Readonly<Record<string, unknown>>

/** Where each part of the list begins; the acts stand in this order. */
const GROUPS: readonly (readonly [first: string, group: TrainingAct['group']])[] = [
  ['stop', 'controls'],
  ['take-web-off', 'web'],
  ['push-end', 'loads'],
  ['measure-arrow', 'fit'],
  ['measure-bridge', 'cables'],
]

/** Every act with its arguments as fields of a form. */
export function trainingActs(): TrainingAct[] {
  let group: TrainingAct['group'] = 'controls'
  return catalogue().map((act) => {
    group = GROUPS.find(([first]) => first === act.id)?.[1] ?? group
    const { id, title, seconds, caution } = act
    return { id, title, group, seconds, caution, needs: needsOf(act), args: argumentsOf(act.args as Schema) }
  })
}

function needsOf({ needs }: ListedAct): TrainingAct['needs'] {
  const { power, web, ...rest } = needs
  return {
    ...rest,
    ...(power === undefined ? {} : { power: [...power] }),
    ...(web === undefined ? {} : { web: [...web] }),
  }
}

function argumentsOf({ properties = {}, required = [] }: Schema): ActArgument[] {
  return Object.entries(properties as Record<string, Schema>).map(([name, schema]) => ({
    ...fieldOf(schema),
    name,
    title: ARGUMENTS[name]?.title ?? name,
    unit: ARGUMENTS[name]?.unit ?? null,
    required: (required as readonly string[]).includes(name) && schema.default === undefined,
    standard: (schema.default as number | string | undefined) ?? null,
  }))
}

function fieldOf(schema: Schema): Pick<ActArgument, 'kind' | 'least' | 'most' | 'choices'> {
  const none = { least: null, most: null, choices: [] }
  if (Array.isArray(schema.enum)) return { ...none, kind: 'choice', choices: choicesOf(schema.enum as string[]) }
  const either = (schema.anyOf ?? []) as readonly Schema[]
  const words = either.flatMap((one) => (typeof one.const === 'string' ? [one.const] : []))
  if (either.some((one) => one.type === 'object')) return { ...none, kind: 'rope', choices: choicesOf(words) }
  const number = either.find((one) => one.type === 'number') ?? schema
  return { kind: words.length > 0 ? 'direction' : 'number', ...limitsOf(number), choices: choicesOf(words) }
}

const choicesOf = (values: readonly string[]) => values.map((value) => ({ value, title: CHOICE_WORDS[value] ?? value }))

function limitsOf({ minimum, maximum, exclusiveMinimum }: Schema): Pick<ActArgument, 'least' | 'most'> {
  return {
    least: ((minimum ?? exclusiveMinimum) as number | undefined) ?? null,
    most: (maximum as number | undefined) ?? null,
  }
}
