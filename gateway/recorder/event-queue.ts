import type { EventList, NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import type { EventQuery } from './store-reader.ts'

/** Events that wait to be written, and the newest of those that may never be; the oldest go first. */
const MOST_HELD = 10_000

/** Numbers events and holds those that are not on the disk yet. */
export class EventQueue {
  #lastId = 0
  #waiting: StoredEvent[] = []

  get waiting(): readonly StoredEvent[] {
    return this.#waiting
  }

  add(event: NewEvent): StoredEvent {
    const stored = { id: ++this.#lastId, ...event }
    this.#waiting.push(stored)
    if (this.#waiting.length > MOST_HELD) this.#waiting.shift()
    return stored
  }

  /** A store was opened: what waits is numbered after what is in it. */
  continueAfter(lastId: number): void {
    this.#waiting = this.#waiting.map((event, i) => ({ ...event, id: lastId + 1 + i }))
    this.#lastId = Math.max(this.#lastId, lastId + this.#waiting.length)
  }

  written(events: readonly StoredEvent[]): void {
    const ids = new Set(events.map(({ id }) => id))
    this.#waiting = this.#waiting.filter(({ id }) => !ids.has(id))
  }

  /** What waits, as a list of its own. */
  list(query: EventQuery): EventList {
    const found = this.#waiting.filter((event) => matches(event, query)).reverse()
    const events = found.slice(0, query.limit)
    return { events, olderBefore: found.length > events.length ? (events.at(-1)?.id ?? null) : null }
  }
}

function matches(event: StoredEvent, { zone, kind, fromMs, toMs, before }: EventQuery): boolean {
  return (
    (zone === undefined || event.zone === zone) &&
    (kind === undefined || event.kind === kind) &&
    (fromMs === undefined || event.timeMs >= fromMs) &&
    (toMs === undefined || event.timeMs < toMs) &&
    (before === undefined || event.id < before)
  )
}

/** Events that wait on top of those that are in the store; one that was written meanwhile counts once. */
export function joined(waiting: EventList, stored: EventList, limit: number): EventList {
  const known = new Set(stored.events.map(({ id }) => id))
  const all = [...waiting.events.filter(({ id }) => !known.has(id)), ...stored.events].sort((a, b) => b.id - a.id)
  const events = all.slice(0, limit)
  const isMore = all.length > limit || waiting.olderBefore !== null || stored.olderBefore !== null
  return { events, olderBefore: isMore ? (events.at(-1)?.id ?? null) : null }
}
