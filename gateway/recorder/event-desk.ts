import type { EventList, NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import { EventQueue, joined } from './event-queue.ts'
import type { StoreHandle } from './store-handle.ts'
import type { EventQuery } from './store-reader.ts'

/** The trail: events are numbered, told to whoever listens, written in their order, and listed from memory and store. */
export class EventDesk {
  readonly #store: StoreHandle
  readonly #queue = new EventQueue()
  readonly #listeners = new Set<(event: StoredEvent) => void>()
  #now: Promise<void> = Promise.resolve()
  #next: Promise<void> | null = null

  constructor(store: StoreHandle) {
    this.#store = store
  }

  get waiting(): number {
    return this.#queue.waiting.length
  }

  /** Resolves once it is on the disk; while nothing can be written, at once. Listeners are told before. */
  async add(event: NewEvent): Promise<StoredEvent> {
    const stored = this.#queue.add(event)
    for (const listener of this.#listeners) listener(stored)
    await this.write()
    return stored
  }

  onEvent(listener: (event: StoredEvent) => void): () => void {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  /** A store was opened: what waits is numbered after what is in it. */
  continueAfter(lastId: number): void {
    this.#queue.continueAfter(lastId)
  }

  async list(query: EventQuery): Promise<EventList> {
    const waiting = this.#queue.list(query)
    if (!this.#store.isOpen) return waiting
    return joined(waiting, await this.#store.opened().reader.call('events', [query]), query.limit)
  }

  /**
   * Resolves when all that wait now are on the disk, or cannot be written. One write at a time, and one that follows it
   * for all who come meanwhile: where the disk is slow, each would hand over all that wait once more.
   */
  write(): Promise<void> {
    this.#next ??= this.#now.then(() => {
      this.#now = this.#next ?? Promise.resolve()
      this.#next = null
      return this.#writeWaiting()
    })
    return this.#next
  }

  async #writeWaiting(): Promise<void> {
    const events = [...this.#queue.waiting]
    const { link } = this.#store
    if (events.length === 0 || link === null) return
    try {
      await link.writer.call('events', [events])
      this.#queue.written(events)
    } catch {
      // They wait in memory; the next seal tries again.
    }
  }
}
