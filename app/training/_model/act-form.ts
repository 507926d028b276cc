import type { ActArgument, TrainingAct } from '../../../shared/schemas/training.ts'
import { formatTrimmed, NBSP } from '../../_ui/format.ts'
import { fieldNumber, numberTrouble, typedNumber } from '../../_ui/typed-number.ts'

/** Text of the fields as typed, by `fieldOf`. What was never touched is not in it. */
export type Typed = Readonly<Record<string, string>>

/** Choice of a direction or a rope that is told in degrees of its own. */
export const IN_DEGREES = 'in degrees'
export const ROPE_AS_WEB = 'web'

/** Name of a field of the form; `part` where an argument has several. */
export const fieldOf = (act: string, argument: string, part = ''): string =>
  part === '' ? `${act}.${argument}` : `${act}.${argument}.${part}`

export interface FilledForm {
  /** What is sent with the act; without those left out. */
  readonly args: Readonly<Record<string, unknown>>
  /** What is wrong, by field; empty: it can be sent. */
  readonly faults: Readonly<Record<string, string>>
}

/** What stands in a field: as typed, else what is taken when it is left out, else the first choice of one that is asked for. */
export function shownIn(act: string, argument: ActArgument, typed: Typed): string {
  const text = typed[fieldOf(act, argument.name)]
  if (text !== undefined) return text
  if (argument.kind === 'rope') return String(argument.standard ?? ROPE_AS_WEB)
  if (argument.standard !== null && argument.kind === 'direction' && typeof argument.standard === 'number')
    return IN_DEGREES
  if (typeof argument.standard === 'number') return fieldNumber(argument.standard)
  return argument.standard ?? ''
}

/** The typed texts as arguments of the act, or what is wrong with them. */
export function filledForm(act: TrainingAct, typed: Typed): FilledForm {
  const args: Record<string, unknown> = {}
  const faults: Record<string, string> = {}
  for (const argument of act.args) {
    const read = readArgument(act.id, argument, typed)
    Object.assign(faults, read.faults)
    if (read.value !== undefined) args[argument.name] = read.value
  }
  return { args, faults }
}

interface ReadArgument {
  readonly value?: unknown
  readonly faults?: Readonly<Record<string, string>>
}

function readArgument(act: string, argument: ActArgument, typed: Typed): ReadArgument {
  const shown = shownIn(act, argument, typed)
  switch (argument.kind) {
    case 'number':
      return readNumber(fieldOf(act, argument.name), shown, argument)
    case 'choice':
      if (argument.choices.some(({ value }) => value === shown)) return { value: shown }
      return missing(fieldOf(act, argument.name), argument.required, 'choose one')
    case 'direction':
      if (shown === IN_DEGREES) return readDegrees(act, argument, 'deg', typed)
      if (argument.choices.some(({ value }) => value === shown)) return { value: shown }
      return missing(fieldOf(act, argument.name), argument.required, 'choose one')
    case 'rope':
      return shown === ROPE_AS_WEB ? { value: ROPE_AS_WEB } : readRope(act, argument, typed)
  }
}

const missing = (field: string, isRequired: boolean, words: string): ReadArgument =>
  isRequired ? { faults: { [field]: words } } : {}

/** Text of the degrees of a direction; those taken by themselves where nothing was typed. */
export function shownDegrees(act: string, argument: ActArgument, part: string, typed: Typed): string {
  const text = typed[fieldOf(act, argument.name, part)]
  return text ?? (typeof argument.standard === 'number' ? fieldNumber(argument.standard) : '')
}

function readDegrees(act: string, argument: ActArgument, part: string, typed: Typed): ReadArgument {
  const limits = { unit: '°', least: argument.least ?? -360, most: argument.most ?? 360, required: true }
  return readNumber(fieldOf(act, argument.name, part), shownDegrees(act, argument, part, typed), limits)
}

function readRope(act: string, argument: ActArgument, typed: Typed): ReadArgument {
  const arriving = readDegrees(act, argument, 'arriving_deg', typed)
  const leaving = readDegrees(act, argument, 'leaving_deg', typed)
  const faults = { ...arriving.faults, ...leaving.faults }
  if (Object.keys(faults).length > 0) return { faults }
  return { value: { arriving_deg: arriving.value, leaving_deg: leaving.value } }
}

type NumberLimits = Pick<ActArgument, 'unit' | 'least' | 'most' | 'required'>

function readNumber(field: string, text: string, limits: NumberLimits): ReadArgument {
  if (text.trim() === '') return missing(field, limits.required, 'type a number')
  const value = typedNumber(text)
  if (value === null) return { faults: { [field]: numberTrouble(text) ?? 'This is not a number.' } }
  if (limits.least !== null && value < limits.least) return { faults: { [field]: limitsInWords(limits) } }
  if (limits.most !== null && value > limits.most) return { faults: { [field]: limitsInWords(limits) } }
  return { value }
}

/** `from 0 to 2000 N`; empty where a number has no limits. */
export function limitsInWords({ unit, least, most }: Pick<ActArgument, 'unit' | 'least' | 'most'>): string {
  const end = unit === null || unit === '' ? '' : `${NBSP}${unit}`
  if (least !== null && most !== null) return `from ${formatTrimmed(least)} to ${formatTrimmed(most)}${end}`
  if (least !== null) return `at least ${formatTrimmed(least)}${end}`
  return most === null ? '' : `at most ${formatTrimmed(most)}${end}`
}
