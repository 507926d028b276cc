import type { StoredEvent } from '../../shared/schemas/events.ts'

const ACTIVE: ReadonlySet<unknown> = new Set(['unacknowledged', 'acknowledged'])

/**
 * Alarms that were active when a stretch began: of the transitions before it the newest of each alarm, where it left the
 * alarm active. An alarm that stands through a whole shift makes no event in it. Oldest first; `before` in any order.
 */
export function standingAlarms(before: readonly StoredEvent[]): StoredEvent[] {
  const newest = new Map<unknown, StoredEvent>()
  for (const event of before.toSorted((a, b) => a.id - b.id)) newest.set(event.data.alarm, event)
  return [...newest.values()].filter(({ data }) => ACTIVE.has(data.state)).sort((a, b) => a.timeMs - b.timeMs)
}
