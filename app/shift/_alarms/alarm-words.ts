import { concernsZone } from '../../../lib/summary/concerns-zone.ts'
import type { FloodLevel } from '../../../shared/alarms.ts'
import type { Alarm, AlarmFlood, AlarmList, AlarmReading } from '../../../shared/schemas/alarms.ts'
import { typed } from '../../_language/current.ts'
import { formatClock, formatDuration, formatTrimmed, NBSP } from '../../_ui/format.ts'
import type { Units } from '../../_ui/units.tsx'

/** The state of an alarm as a person says it. */
export function stateWords(alarm: Alarm): string {
  switch (alarm.state) {
    case 'unacknowledged':
      return 'not acknowledged'
    case 'acknowledged':
      return 'acknowledged'
    case 'returned':
      return alarm.acknowledged ? 'over, latched: to be acknowledged' : 'over, not acknowledged'
    case 'unknown':
      return alarm.occurrence === null ? 'unknown' : 'unknown: data stopped before it was over'
    case 'shelved':
      return `shelved; ${UNDER[alarm.standing]}`
    case 'out-of-service':
      return 'out of service'
    case 'normal':
      return 'normal'
  }
}

const UNDER: Readonly<Record<Alarm['standing'], string>> = {
  active: 'active',
  returned: 'over',
  unknown: 'unknown',
  normal: 'normal',
}

/** Where an alarm stands and since when: what a person reads under its name. */
export function sinceWords(alarm: Alarm, nowMs: number): string[] {
  const { occurrence, acknowledgedBy, shelved, outOfService } = alarm
  const ago = (ms: number) => `${formatClock(ms)}, ${formatDuration(Math.max(0, nowMs - ms) / 1000)} ago`
  return [
    ...(occurrence === null ? [] : [`Began ${ago(occurrence.beganMs)}.`]),
    ...(acknowledgedBy === null
      ? []
      : [`Acknowledged by ${typed(acknowledgedBy.who)}, ${formatClock(acknowledgedBy.atMs)}.`]),
    ...(shelved === null
      ? []
      : [
          `Shelved by ${typed(shelved.who)} until ${formatClock(shelved.untilMs)}, ${formatDuration(Math.max(0, shelved.untilMs - nowMs) / 1000)} more: ${typed(shelved.reason)}`,
        ]),
    ...(outOfService === null
      ? []
      : [
          `Taken out of service by ${typed(outOfService.who)}, ${ago(outOfService.atMs)}: ${typed(outOfService.reason)}`,
        ]),
  ]
}

/** `20.0 ± 0.6 %, limit ± 10 %: outside its limit, uncertainty included.` No value without limit and sentence. */
export function readingWords({ value, U, unit, limit, sentence }: AlarmReading, units: Units): string {
  if (value === null || limit === null || U === null) return sentence
  return `${units.figure(value, U, unit).text}, limit ±${NBSP}${units.plain(limit, unit, true)}. ${sentence}`
}

const FLOOD_WORDS: Readonly<Record<FloodLevel, string>> = {
  acceptable: 'acceptable',
  manageable: 'manageable',
  demanding: 'more than one person should have to follow',
  flood: 'a flood: nobody can follow this',
}

/** How many alarms called lately, against the published rates. */
export function floodWords({ announced, positions, perPosition, level, windowMs, limits }: AlarmFlood): string {
  const window = `in the last ${formatDuration(windowMs / 1000)}`
  const count = `${announced} ${announced === 1 ? 'alarm' : 'alarms'} called ${window}`
  const each =
    positions === 1
      ? ''
      : `, ${formatTrimmed(Number(perPosition.toFixed(1)))} for each of ${positions} operator positions`
  const rates = limits.map((limit) => `up to ${limit.upTo} ${limit.level}`).join(', ')
  return `${count}${each}: ${FLOOD_WORDS[level]}. In 10${NBSP}min and position: ${rates}, beyond that a flood.`
}

/** Alarms of one zone and of the gateway itself; null: all. */
export function alarmsOfZone(list: AlarmList, zone: string | null) {
  const concerns = zone === null ? () => true : concernsZone(zone)
  const alarms = list.alarms.filter(concerns)
  return {
    present: alarms.filter(({ state }) => state !== 'normal'),
    normal: alarms.filter(({ state }) => state === 'normal'),
    off: list.off.filter(concerns),
  }
}
