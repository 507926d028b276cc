import { FLOOD_LIMITS, FLOOD_SOURCE, floodFigure } from '../../lib/alarms/flood.ts'
import { asksForNotice, memoryOf, stateName } from '../../lib/alarms/state.ts'
import { ALARM_STATES, PRIORITIES } from '../../shared/alarms.ts'
import type { Alarm, AlarmList } from '../../shared/schemas/alarms.ts'
import type { HeldAlarm } from './held-alarm.ts'

/** One alarm as pages and programs see it. */
export function alarmView({ alarm, state, now, announced }: HeldAlarm, isFirstOut: boolean): Alarm {
  const { known: _, ...memory } = memoryOf(state)
  return {
    id: alarm.id,
    zone: alarm.zone?.id ?? null,
    zoneName: alarm.zone?.name ?? null,
    rule: alarm.key,
    title: alarm.title,
    wrong: alarm.wrong,
    priority: alarm.priority,
    state: stateName(state),
    ...memory,
    asksForNotice: asksForNotice(state),
    firstOut: isFirstOut,
    latched: alarm.rule.latched,
    now,
    announced,
  }
}

/** What asks for a person first, then what is active, then by state and priority; the newest of equals first. */
export function inOrder(alarms: readonly Alarm[]): Alarm[] {
  const rank = (alarm: Alarm): number[] => [
    alarm.asksForNotice ? 0 : 1,
    ALARM_STATES.indexOf(alarm.state),
    PRIORITIES.indexOf(alarm.priority),
    -(alarm.occurrence?.announcedMs ?? 0),
  ]
  return alarms.toSorted((a, b) => {
    const [ra, rb] = [rank(a), rank(b)]
    const differs = ra.findIndex((value, i) => value !== rb[i])
    return differs < 0 ? a.id.localeCompare(b.id, 'en') : (ra[differs] ?? 0) - (rb[differs] ?? 0)
  })
}

export function countsOf(alarms: readonly Alarm[], off: number): AlarmList['counts'] {
  const count = (is: (alarm: Alarm) => boolean) => alarms.filter(is).length
  const pressing = alarms.filter((alarm) => alarm.asksForNotice || alarm.state === 'acknowledged')
  return {
    asking: count((alarm) => alarm.asksForNotice),
    active: count(({ state }) => state === 'unacknowledged' || state === 'acknowledged'),
    unknown: count(({ state }) => state === 'unknown'),
    shelved: count(({ state }) => state === 'shelved'),
    outOfService: count(({ state }) => state === 'out-of-service'),
    off,
    highest: PRIORITIES.find((priority) => pressing.some((alarm) => alarm.priority === priority)) ?? null,
  }
}

export function floodView(
  announcedMs: readonly number[],
  nowMs: number,
  positions: number,
  countedSinceMs: number,
): AlarmList['flood'] {
  const limits = FLOOD_LIMITS.map(({ level, upTo }) => ({ level, upTo }))
  return { ...floodFigure(announcedMs, nowMs, positions, countedSinceMs), positions, limits, source: FLOOD_SOURCE }
}
