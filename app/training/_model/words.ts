import type { z } from 'zod'
import type {
  actNeeds,
  machineCondition,
  TrainingAct,
  TrainingReading,
  TrainingSide,
} from '../../../shared/schemas/training.ts'
import { formatDuration, formatTrimmed, NBSP } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import type { Units } from '../../_ui/units.tsx'

export type Condition = z.infer<typeof machineCondition>
type Needs = z.infer<typeof actNeeds>

const POWER_NEEDED = { running: 'the line runs', stopped: 'the line stands', 'locked out': 'locked out' } as const
const WEB_NEEDED = { tight: 'web tight', slack: 'web slack', off: 'web off' } as const
const either = (words: readonly string[]): string => words.join(' or ')

/** The state an act asks for, a phrase each; empty: any. Whether it is there is for the trainee to see. */
export function needsInWords(needs: Needs): string[] {
  const { power, guards, driveEnabled, web, roller, free } = needs
  return [
    ...(power === undefined ? [] : [either(power.map((one) => POWER_NEEDED[one]))]),
    ...(guards === undefined ? [] : [`guards ${guards}`]),
    ...(driveEnabled === undefined ? [] : [driveEnabled ? 'drive enabled' : 'drive disabled']),
    ...(web === undefined ? [] : [either(web.map((one) => WEB_NEEDED[one]))]),
    ...(roller === undefined ? [] : [`roller ${roller}`]),
    ...(free === true ? ['nothing pushed or hung on'] : []),
  ]
}

export interface ConditionRow {
  readonly name: string
  readonly value: string
}

const LOAD_WORDS = { push: 'a push', weight: 'a weight', 'hand at a cable': 'a hand at a cable' } as const

const WEB_WORDS = { tight: 'tight', slack: 'slack', off: 'taken off' } as const

/** The machine at a zone, as its six lines are read. */
export function conditionRows(condition: Condition): ConditionRow[] {
  const power = { running: 'running', stopped: 'stopped, not locked out', 'locked out': 'locked out' }[condition.power]
  return [
    { name: 'Line', value: power },
    { name: 'Guards', value: condition.guards },
    { name: 'Drive', value: condition.driveEnabled ? 'enabled' : 'disabled' },
    { name: 'Web', value: WEB_WORDS[condition.web] },
    { name: 'Roller', value: condition.roller },
    {
      name: 'On the roller by hand',
      value: condition.loads.length === 0 ? 'nothing' : condition.loads.map((load) => LOAD_WORDS[load]).join(', '),
    },
  ]
}

/** `end-clearance` → `End clearance`: figures are named in plain words. */
export function figureTitle(figure: string): string {
  const words = figure.replaceAll('-', ' ')
  return words.charAt(0).toUpperCase() + words.slice(1)
}

export const sideTitle = (side: TrainingSide | null): string => (side === null ? '' : SIDES[side].name)

type Value = TrainingReading['value']

function unmeasured(value: Exclude<Value, number>): string {
  return typeof value === 'boolean' ? (value ? 'yes' : 'no') : value
}

/** What was read with ± U (k = 2), in the reader's units; what was seen in words; a number whose worth nobody knows says so. */
export function valueInWords({ value, unit, u }: Pick<TrainingReading, 'value' | 'unit' | 'u'>, units: Units): string {
  if (typeof value !== 'number') return unmeasured(value)
  if (u === null) return units.figure(value, null, unit ?? '1').text
  return u === 0 ? units.plain(value, unit ?? '1', false) : units.figure(value, 2 * u, unit ?? '1').text
}

/** A change of a reading with ± U (k = 2); null where there is nothing to take a difference of. */
export function changeInWords(
  reading: { found: Value; sound: Value; unit: string | null; u: number | null },
  units: Units,
): string | null {
  const { found, sound, unit, u } = reading
  if (typeof found !== 'number' || typeof sound !== 'number') return null
  return units.difference(found - sound, u === null ? null : 2 * u, unit ?? '1').text
}

/** What an act costs, as its list says it. */
export const costInWords = (seconds: number): string => (seconds === 0 ? 'no time of its own' : formatDuration(seconds))

/** What was said with an act: `drive side, 100 N`. Arguments in the words of the form; those it does not know as they are. */
export function argsInWords(act: TrainingAct | undefined, args: Readonly<Record<string, unknown>>): string {
  return Object.entries(args)
    .map(([name, value]) => {
      const argument = act?.args.find((one) => one.name === name)
      const choice = argument?.choices.find((one) => one.value === value)
      if (choice !== undefined) return choice.title
      if (value === 'drive_side' || value === 'operator_side') return SIDES[value].name
      if (typeof value === 'number') {
        const unit = argument?.unit ?? (argument?.kind === 'direction' ? '°' : null)
        return unit === null ? formatTrimmed(value) : `${formatTrimmed(value)}${NBSP}${unit}`
      }
      if (typeof value === 'object' && value !== null)
        return Object.values(value)
          .map((one) => `${one}°`)
          .join(' to ')
      return String(value)
    })
    .join(', ')
}
