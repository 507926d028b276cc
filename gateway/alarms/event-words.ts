import type { AlarmEvent } from '../../lib/alarms/event.ts'
import { differenceUnit } from '../../lib/statistics/difference-unit.ts'
import { plusMinus } from '../../lib/statistics/plus-minus.ts'
import { shortNumber } from '../../lib/statistics/words.ts'
import type { AlarmReading } from '../../shared/schemas/alarms.ts'
import type { NewEvent } from '../../shared/schemas/events.ts'
import type { DefinedAlarm } from './defined-alarm.ts'

/** A transition of an alarm as a line of the trail. */
export function trailEvent(
  alarm: DefinedAlarm,
  event: AlarmEvent,
  { reading, state }: { readonly reading: AlarmReading | null; readonly state: string },
): NewEvent {
  const { atMs, ...details } = event
  return {
    timeMs: atMs,
    kind: 'alarm',
    zone: alarm.zone?.id ?? null,
    who: 'who' in event ? event.who : null,
    text: `${alarm.zone === null ? '' : `${alarm.zone.name}: `}${sentence(alarm, event, reading)}`,
    data: {
      alarm: alarm.id,
      rule: alarm.key,
      title: alarm.title,
      wrong: alarm.wrong,
      priority: alarm.priority,
      state,
      event: details,
      reading,
    },
  }
}

function sentence(alarm: DefinedAlarm, event: AlarmEvent, reading: AlarmReading | null): string {
  const { title, wrong } = alarm
  switch (event.kind) {
    case 'activated':
      return `${title} ${wrong}${reading === null ? '.' : `: ${readingWords(reading)}`}`
    case 'returned':
      return event.to === 'returned'
        ? `${title} is no longer ${bare(wrong)}; an acknowledgement is waited for.`
        : `${title} is no longer ${bare(wrong)}.`
    case 'lost':
      return `${title}: data have stopped, whether it is ${bare(wrong)} is unknown.`
    case 'resumed':
      return `${title}: there are data to judge it by.`
    case 'acknowledged':
      return `${title} ${wrong}: acknowledged by ${event.who}.`
    case 'shelved':
      return `${title}: alarm shelved by ${event.who} until ${new Date(event.untilMs).toISOString()}: ${event.reason}`
    case 'unshelved':
      return event.who === null
        ? `${title}: the time of its shelving is up.`
        : `${title}: alarm no longer shelved, by ${event.who}.`
    case 'taken-out':
      return `${title}: alarm taken out of service by ${event.who}: ${event.reason}`
    case 'put-back':
      return `${title}: alarm put back in service by ${event.who}.`
  }
}

/** `14.3 ± 0.6 %, limit ± 10 % (common practice, no source). Outside its limit, uncertainty included.` */
function readingWords({ value, U, unit, limit, limitSource, sentence }: AlarmReading): string {
  if (value === null || limit === null || U === null) return sentence
  const source = limitSource === null ? '' : ` (${limitSource})`
  return `${plusMinus(value, U)} ${unit}, limit ± ${shortNumber(limit)} ${differenceUnit(unit)}${source}. ${sentence}`
}

/** "does not answer" has no place after "is". */
const BARE: Readonly<Record<string, string>> = {
  'does not answer': 'without an answer',
  'has stopped': 'stopped',
  'is low': 'low',
}
const bare = (wrong: string): string => BARE[wrong] ?? wrong
