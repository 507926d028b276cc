import { randomUUID } from 'node:crypto'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import { ForwardQueue } from './queue.ts'
import type { OutboxRow, QueueStore, StoreAccess } from './queue-store.ts'

export interface QueueKeeperOptions {
  /** Under which name the queue's own facts are kept. */
  readonly name: string
  readonly store: () => StoreAccess
  readonly keepMs: number
  readonly keepBytes: number
  /** An event as a row; undefined for one that is not sent on. */
  readonly eventRow: (event: StoredEvent) => OutboxRow | undefined
  readonly readable: () => void
  /** Told how many messages were dropped that the broker never got. */
  readonly dropped: (count: number) => void
}

/** Where rows went: into a queue, under numbers from `first` on; or nowhere. */
export type Kept =
  | { readonly isKept: true; readonly queue: string; readonly first: number }
  | { readonly isKept: false }
const NOT_KEPT: Kept = { isKept: false }

const TIDY_EVERY_MS = 1000
const OPEN_AGAIN_MS = 10_000
/** Rows that the store has not taken yet; the disk hangs when there are more. */
const MOST_APPENDING = 5000

/** Has a queue open whenever there is a store, and says why not when there is none. */
export class QueueKeeper {
  readonly #options: QueueKeeperOptions
  #place: string | null = null
  #ready: Promise<ForwardQueue | null> = Promise.resolve(null)
  #queue: ForwardQueue | null = null
  /** Events that the queue took up when it was opened, though they were told meanwhile. */
  #takenUp = new Set<number>()
  #openAgainMs = 0
  #tidyMs = 0
  #appending = 0
  #why: string | null = null

  constructor(options: QueueKeeperOptions) {
    this.#options = options
  }

  /** Null while there is none, or it is being opened. */
  get queue(): ForwardQueue | null {
    return this.#queue
  }

  /** Why messages do not wait; null while they do. */
  get why(): string | null {
    return this.#why
  }

  get isIdle(): boolean {
    return this.#appending === 0 && (this.#queue?.extent.queued ?? 0) === 0
  }

  /** To be called from time to time: opens, leaves and tidies the queue as the store comes and goes. */
  look(nowMs: number): void {
    const access = this.#options.store()
    if (access.place === null) this.#leave(access.why)
    else if (access.place !== this.#place || nowMs >= this.#openAgainMs) this.#begin(access, nowMs)
    if (Math.abs(nowMs - this.#tidyMs) >= TIDY_EVERY_MS) void this.tidy(nowMs)
  }

  /** Resolves once the rows are on the disk, or when it is known that they are not. Never rejects. */
  async keep(rows: readonly OutboxRow[]): Promise<Kept> {
    if (rows.length === 0) return NOT_KEPT
    if (this.#appending + rows.length > MOST_APPENDING) {
      this.#why = 'the store does not take messages as fast as they come'
      return NOT_KEPT
    }
    this.#appending += rows.length
    try {
      const queue = await this.#ready
      if (queue === null) return NOT_KEPT
      const first = await queue.append(rows)
      this.#why = null
      return { isKept: true, queue: queue.id, first }
    } catch (error) {
      this.#why = messageOf(error)
      return NOT_KEPT
    } finally {
      this.#appending -= rows.length
    }
  }

  /** Whether the queue has this event already, since it was opened while the event was told. Says so once. */
  async hasTakenUp(event: StoredEvent): Promise<boolean> {
    await this.#ready
    return this.#takenUp.delete(event.id)
  }

  async tidy(nowMs: number): Promise<void> {
    this.#tidyMs = nowMs
    try {
      const dropped = await this.#queue?.tidy(nowMs)
      if (dropped) this.#options.dropped(dropped)
    } catch (error) {
      this.#why = messageOf(error)
    }
  }

  #leave(why: string): void {
    if (this.#place !== null) this.#ready = Promise.resolve(null)
    this.#place = null
    this.#queue = null
    this.#why = why
  }

  #begin({ place, store }: Extract<StoreAccess, { place: string }>, nowMs: number): void {
    this.#place = place
    this.#queue = null
    this.#openAgainMs = Number.POSITIVE_INFINITY
    this.#ready = this.#open(store, nowMs).then(
      (queue) => {
        if (this.#place !== place) return null
        this.#queue = queue
        this.#why = null
        return queue
      },
      (error) => {
        this.#why = messageOf(error)
        this.#openAgainMs = nowMs + OPEN_AGAIN_MS
        return null
      },
    )
  }

  async #open(store: QueueStore, nowMs: number): Promise<ForwardQueue> {
    const { name, keepMs, keepBytes, readable, eventRow } = this.#options
    const queue = await ForwardQueue.open({ store, name, newId: randomUUID, keepMs, keepBytes, readable })
    const missed = await queue.missedEvents(nowMs - keepMs)
    this.#takenUp = new Set(missed.map(({ id }) => id))
    const rows = missed.map(eventRow).filter((row) => row !== undefined)
    if (rows.length > 0) await queue.append(rows)
    return queue
  }
}

const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))
