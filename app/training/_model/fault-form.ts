import { z } from 'zod'
import { type FaultList, type HiddenFault, hiddenFault, type TrainingSide } from '../../../shared/schemas/training.ts'
import { parsedJson } from '../../_ui/browser-kept.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import { limitsInWords } from './act-form.ts'

/** A fault as an instructor is putting it together: texts as typed. */
const draft = z.object({
  fault: z.string(),
  zone: z.string(),
  side: z.string(),
  severity: z.string(),
  onset: z.string(),
  /** Numbers of the onset, by name. */
  times: z.record(z.string(), z.string()),
})
export type FaultDraft = z.infer<typeof draft>
export const EMPTY_FAULT: FaultDraft = { fault: '', zone: '', side: '', severity: '', onset: 'constant', times: {} }

/** A draft out of what was kept; the empty one out of anything else. */
export function parsedFault(text: string): FaultDraft {
  return draft.safeParse(parsedJson(text)).data ?? EMPTY_FAULT
}

export type ListedFault = FaultList['faults'][number]

export interface OnsetNumber {
  readonly name: string
  readonly title: string
  readonly unit: string
  readonly standard: string
  readonly least: number | null
}

/** What has to be said with each way a fault comes. */
export const ONSET_NUMBERS: Record<HiddenFault['onset']['kind'], readonly OnsetNumber[]> = {
  constant: [],
  sudden: [{ name: 'after_s', title: 'After', unit: 's', standard: '60', least: 0 }],
  growing: [
    { name: 'after_s', title: 'Begins after', unit: 's', standard: '0', least: 0 },
    { name: 'over_s', title: 'Grows within', unit: 's', standard: '600', least: 1 },
  ],
  'with-temperature': [
    { name: 'from_c', title: 'Begins at', unit: '°C', standard: '20', least: null },
    { name: 'full_c', title: 'Full size at', unit: '°C', standard: '35', least: null },
  ],
  'with-speed': [
    { name: 'from_m_s', title: 'Begins at', unit: 'm/s', standard: '0', least: 0 },
    { name: 'full_m_s', title: 'Full size at', unit: 'm/s', standard: '5', least: 0.1 },
  ],
  intermittent: [
    { name: 'on_s', title: 'There for about', unit: 's', standard: '2', least: 0.1 },
    { name: 'off_s', title: 'Away for about', unit: 's', standard: '20', least: 0.1 },
  ],
}

export const ONSET_WORDS: Record<HiddenFault['onset']['kind'], string> = {
  constant: 'there at once',
  sudden: 'all at once, later',
  growing: 'grows',
  'with-temperature': 'grows with the temperature of the hall',
  'with-speed': 'grows with the speed',
  intermittent: 'comes and goes',
}

type OnsetKind = HiddenFault['onset']['kind']
const isOnsetKind = (kind: string): kind is OnsetKind => Object.hasOwn(ONSET_WORDS, kind)
export const onsetsOf = ({ onsets }: ListedFault): OnsetKind[] => onsets.filter(isOnsetKind)

/** Limits of a fault's size; where it goes either way, as far down as up. */
export const severityLimits = ({ unit, least, most, eitherWay }: ListedFault) => ({
  unit,
  least: eitherWay ? -most : least,
  most,
})

export type ReadFault =
  | { readonly ok: true; readonly fault: HiddenFault }
  | { readonly ok: false; readonly fault: string }

const refused = (fault: string): ReadFault => ({ ok: false, fault })

/** The fault as it is put in, or what is still open. */
export function readFault(typed: FaultDraft, list: FaultList, zones: readonly string[]): ReadFault {
  const listed = list.faults.find(({ id }) => id === typed.fault)
  if (listed === undefined) return refused('Choose a fault.')
  const zone = zones.length === 1 ? (zones[0] ?? '') : typed.zone
  if (!zones.includes(zone)) return refused('Say at which zone.')
  if (listed.oneSided && typed.side === '') return refused('Say on which side.')
  const limits = severityLimits(listed)
  const severity = typedNumber(typed.severity)
  if (severity === null) return refused('The size is not a number.')
  if (severity < limits.least || severity > limits.most) return refused(`The size goes ${limitsInWords(limits)}.`)
  const kind = onsetsOf(listed).find((one) => one === typed.onset) ?? onsetsOf(listed)[0] ?? 'constant'
  const onset: Record<string, unknown> = { kind }
  for (const { name, title, least, standard } of ONSET_NUMBERS[kind]) {
    const value = typedNumber(typed.times[name] ?? standard)
    if (value === null) return refused(`“${title}” is not a number.`)
    if (least !== null && value < least) return refused(`“${title}” is at least ${least}.`)
    onset[name] = value
  }
  const side = listed.oneSided ? (typed.side as TrainingSide) : null
  const read = hiddenFault.safeParse({ fault: listed.id, zone, side, severity, onset })
  return read.success ? { ok: true, fault: read.data } : refused('These numbers do not go together.')
}
