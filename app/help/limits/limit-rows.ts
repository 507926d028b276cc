import { withUnit } from '../../../lib/statistics/plus-minus.ts'
import { gatewayAlarms, zoneAlarms } from '../../../shared/schemas/config/alarms.ts'
import { limits, verification } from '../../../shared/schemas/config/limits.ts'
import { keep } from '../../../shared/schemas/config/recorder.ts'
import type { AlarmConfig } from '../../../shared/schemas/config.ts'

type Row = readonly [name: string, ...cells: string[]]
interface Described {
  readonly shape: Readonly<Record<string, { readonly description?: string | undefined }>>
}

const wordsOf = ({ shape }: Described, key: string): string => shape[key]?.description ?? ''

/** Units as they stand at the end of a key; the longest first. */
const UNITS: readonly (readonly [suffix: string, unit: string])[] = [
  ['_percent_per_hour', '% or points an hour'],
  ['_percent_per_min', '% a minute'],
  ['_percent_per_k', '% a kelvin'],
  ['_mm_per_m', 'mm/m'],
  ['_megohm', 'MΩ'],
  ['_percent', '%'],
  ['_deg', '°'],
  ['_mm', 'mm'],
  ['_ms', 'ms'],
  ['_ratio', 'times'],
]

/** The unit that a key of the config ends in; throws RangeError for one that is not listed. */
export function unitOfKey(key: string): string {
  const found = UNITS.find(([suffix]) => key.endsWith(suffix))
  if (found === undefined) throw new RangeError(`${key} ends in no unit that is listed`)
  return found[1]
}

const rowsOf = (schema: Described, defaults: Readonly<Record<string, { value: number; source: string }>>): Row[] =>
  Object.entries(defaults).map(([key, { value, source }]) => [
    key,
    wordsOf(schema, key),
    withUnit(String(value), unitOfKey(key)),
    source,
  ])

/** What running figures are held to: key, what it limits, default, source. */
export const runningRows = (): Row[] => rowsOf(limits, limits.parse({}))

/** The same for the tests that prove an install. */
export const verificationRows = (): Row[] => rowsOf(verification, verification.parse({}))

/** Alarms: key, what it looks at, priority, on-delay, off-delay. */
export function alarmRows(): Row[] {
  const ofGateway = Object.entries(gatewayAlarms.parse({})).filter(([, value]) => isAlarm(value))
  return [
    ...Object.entries(zoneAlarms.parse({})).map(([key, alarm]) => alarmRow(key, wordsOf(zoneAlarms, key), alarm)),
    ...ofGateway.map(([key, alarm]) => alarmRow(key, wordsOf(gatewayAlarms, key), alarm as AlarmConfig)),
  ]
}

const isAlarm = (value: unknown): value is AlarmConfig =>
  typeof value === 'object' && value !== null && 'on_delay_s' in value

function alarmRow(key: string, words: string, { priority, on_delay_s, off_delay_s, latched }: AlarmConfig): Row {
  return [key, words, latched ? `${priority}, latched` : priority, `${on_delay_s} s`, `${off_delay_s} s`]
}

/** What is kept: key, what it is, days, MB. */
export const keptRows = (): Row[] =>
  Object.entries(keep.parse({})).map(([key, { days, mb }]) => [key, wordsOf(keep, key), `${days} days`, `${mb} MB`])
