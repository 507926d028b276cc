import { z } from 'zod'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { OutboxExtent, OutboxRow, QueueStore, StoredOutboxRow } from './queue-store.ts'
import { EVENTS } from './topics.ts'

export interface QueueOptions {
  readonly store: QueueStore
  /** Under which name the queue's own facts are kept. */
  readonly name: string
  /** For a queue that begins. */
  readonly newId: () => string
  readonly keepMs: number
  readonly keepBytes: number
  /** Told when there is something to send that was not there before. */
  readonly readable: () => void
}

/** Facts about a queue beside its rows: which it is, and up to which event all are in it or were taken. */
const queueFacts = z.object({ queue: z.string(), eventId: z.int() })
type QueueFacts = z.infer<typeof queueFacts>

const KIND = 'forward'
/** Rows read from the store at once, and how few of them left ask for more. */
const PAGE = 200
const FEW = 100
const EVENT_PAGE = 1000
/** Of a row beside its topic and body, as `recorder.keep` counts it. */
const ROW_BYTES = 24

interface InFlight extends StoredOutboxRow {
  isAcked: boolean
}

/**
 * Messages in the order in which they were numbered, from the store to the broker. A message leaves the store only after
 * the broker has taken it and all before it; what a broken connection left open is sent again, under its number.
 */
export class ForwardQueue {
  readonly #options: QueueOptions
  #facts: QueueFacts
  #rows: number
  #bytes: number
  #oldestMs: number | null
  #lastSeq: number
  /** All up to this one have been read. */
  #cursor: number
  #ahead: StoredOutboxRow[] = []
  #inFlight: InFlight[] = []
  /** All up to this one were taken, or dropped; the store is told from time to time. */
  #doneTo: number
  #trimmedTo: number
  #doneEventId: number
  /** Numbers that were not in the store any more when their turn came. */
  #vanished = 0
  #isReading = false
  /** One for each connection: an answer of the store that was asked for the one before is thrown away. */
  #epoch = 0
  #turn: Promise<unknown> = Promise.resolve()

  private constructor(options: QueueOptions, known: QueueFacts, extent: OutboxExtent) {
    this.#options = options
    this.#facts = known
    this.#doneEventId = known.eventId
    this.#rows = extent.rows
    this.#bytes = extent.bytes
    this.#oldestMs = extent.oldestMs
    this.#lastSeq = extent.lastSeq
    this.#doneTo = (extent.firstSeq ?? extent.lastSeq + 1) - 1
    this.#trimmedTo = this.#doneTo
    this.#cursor = this.#doneTo
  }

  /** Rejects while nothing can be kept. */
  static async open(options: QueueOptions): Promise<ForwardQueue> {
    const { store, name, newId } = options
    const document = await store.document.get(KIND, name)
    const known = queueFacts.safeParse(document === undefined ? undefined : JSON.parse(document.body))
    if (known.success) return new ForwardQueue(options, known.data, await store.outbox.extent())
    const newest = await store.events({ limit: 1 })
    const first = { queue: newId(), eventId: newest.events[0]?.id ?? 0 }
    await store.document.put(KIND, name, first)
    return new ForwardQueue(options, first, await store.outbox.extent())
  }

  /** Tells this queue's numbers from those of another store. */
  get id(): string {
    return this.#facts.queue
  }

  get extent(): { readonly queued: number; readonly queuedBytes: number; readonly oldestMs: number | null } {
    return { queued: this.#rows, queuedBytes: this.#bytes, oldestMs: this.#oldestMs }
  }

  /** Resolves to the number of the first row, once all are on the disk. */
  async append(rows: readonly OutboxRow[]): Promise<number> {
    const last = await this.#options.store.outbox.append(rows)
    const first = last - rows.length + 1
    if (this.#rows === 0) this.#oldestMs = rows[0]?.timeMs ?? null
    this.#rows += rows.length
    this.#bytes += rows.reduce((sum, row) => sum + bytesOf(row), 0)
    // Who has read all before need not read these from the disk.
    if (!this.#isReading && this.#cursor === this.#lastSeq && this.#ahead.length < PAGE) {
      this.#ahead.push(...rows.map((row, i) => ({ ...row, seq: first + i })))
      this.#cursor = last
    }
    this.#lastSeq = last
    this.#options.readable()
    return first
  }

  /** Events of the trail that are not in the queue though they should be: the process ended in between. Oldest first. */
  async missedEvents(sinceMs: number): Promise<StoredEvent[]> {
    const { store } = this.#options
    const row = await store.outbox.newest(EVENTS)
    const known = Math.max(this.#facts.eventId, row === undefined ? 0 : eventIdOf(row))
    const missed: StoredEvent[] = []
    for (let before: number | null | undefined; before !== null; ) {
      const page = await store.events({ limit: EVENT_PAGE, ...(before === undefined ? {} : { before }) })
      const found = page.events.filter(({ id, timeMs }) => id > known && timeMs >= sinceMs)
      missed.push(...found)
      before = found.length < page.events.length ? null : page.olderBefore
    }
    return missed.reverse()
  }

  /** The next row to send, or nothing yet. */
  next(): StoredOutboxRow | undefined {
    if (this.#ahead.length < FEW && this.#cursor < this.#lastSeq) void this.#read()
    return this.#ahead[0]
  }

  /** The next row has been handed to the connection. */
  sent(): void {
    const row = this.#ahead.shift()
    if (row !== undefined) this.#inFlight.push({ ...row, isAcked: false })
  }

  /** The broker has taken it, or never will. */
  acked(seq: number): void {
    const row = this.#inFlight.find((one) => one.seq === seq)
    if (row === undefined) return
    row.isAcked = true
    while (this.#inFlight[0]?.isAcked) this.#done(this.#inFlight.shift() as InFlight)
    this.#oldestMs = this.#rows === 0 ? null : ((this.#inFlight[0] ?? this.#ahead[0])?.timeMs ?? this.#oldestMs)
  }

  /** The connection is gone: what was not taken is sent again from its beginning. */
  rewind(): void {
    this.#epoch += 1
    this.#isReading = false
    this.#inFlight = []
    this.#ahead = []
    this.#cursor = this.#doneTo
  }

  /**
   * Lets the store forget what was taken, and what waits too long or is too much. Resolves to how many messages were
   * dropped that the broker never got. One at a time; rejects when the store cannot be written.
   */
  tidy(nowMs: number): Promise<number> {
    const result = this.#turn.then(async () => {
      await this.#trim()
      const dropped = (await this.#dropBeyond(nowMs)) + this.#vanished
      this.#vanished = 0
      return dropped
    })
    this.#turn = result.catch(() => {})
    return result
  }

  #done(row: StoredOutboxRow): void {
    this.#doneTo = Math.max(this.#doneTo, row.seq)
    this.#forgetRows(1, bytesOf(row))
    if (row.topic.startsWith(EVENTS)) this.#doneEventId = Math.max(this.#doneEventId, eventIdOf(row))
  }

  #forgetRows(rows: number, bytes: number): void {
    this.#rows = Math.max(0, this.#rows - rows)
    this.#bytes = this.#rows === 0 ? 0 : Math.max(0, this.#bytes - bytes)
  }

  async #trim(): Promise<void> {
    const { store, name } = this.#options
    if (this.#doneTo === this.#trimmedTo) return
    const to = this.#doneTo
    if (this.#doneEventId > this.#facts.eventId) {
      // Before the rows go: else nobody would know that these events are through.
      const known = { ...this.#facts, eventId: this.#doneEventId }
      await store.document.put(KIND, name, known)
      this.#facts = known
    }
    await store.outbox.trim(to)
    this.#trimmedTo = to
  }

  async #dropBeyond(nowMs: number): Promise<number> {
    const oldestKept = nowMs - this.#options.keepMs
    let dropped = 0
    while (this.#isBeyond(oldestKept)) {
      const page = await this.#options.store.outbox.after(this.#doneTo, PAGE)
      const before = this.#doneTo
      for (const row of page) {
        if (!this.#isTooMuch && row.timeMs >= oldestKept) break
        if (!this.#inFlight.some(({ seq }) => seq === row.seq)) dropped += 1
        this.#done(row)
      }
      this.#oldestMs = page.find(({ seq }) => seq > this.#doneTo)?.timeMs ?? null
      this.#passOver()
      if (this.#doneTo === before) break
      await this.#trim()
      if (this.#oldestMs === null)
        this.#oldestMs = (await this.#options.store.outbox.after(this.#doneTo, 1))[0]?.timeMs ?? null
    }
    return dropped
  }

  #isBeyond(oldestKeptMs: number): boolean {
    return this.#isTooMuch || (this.#oldestMs !== null && this.#oldestMs < oldestKeptMs)
  }

  get #isTooMuch(): boolean {
    return this.#bytes > this.#options.keepBytes
  }

  /** Nothing that was dropped is sent any more. */
  #passOver(): void {
    this.#cursor = Math.max(this.#cursor, this.#doneTo)
    this.#ahead = this.#ahead.filter(({ seq }) => seq > this.#doneTo)
    this.#inFlight = this.#inFlight.filter(({ seq }) => seq > this.#doneTo)
  }

  async #read(): Promise<void> {
    if (this.#isReading) return
    this.#isReading = true
    const epoch = this.#epoch
    const upTo = this.#lastSeq
    const from = this.#cursor
    try {
      const rows = await this.#options.store.outbox.after(from, PAGE)
      if (epoch === this.#epoch) this.#take(rows, Math.max(from, this.#doneTo), upTo)
    } catch {
      // The store is away; it is asked again when something else happens.
    } finally {
      if (epoch === this.#epoch) {
        this.#isReading = false
        if (this.#ahead.length > 0) this.#options.readable()
      }
    }
  }

  /** Rows after `from`; none means that there are none up to `upTo`. Numbers are given without a gap: one is a loss. */
  #take(rows: readonly StoredOutboxRow[], from: number, upTo: number): void {
    const fresh = rows.filter(({ seq }) => seq > from)
    const reached = rows.at(-1)?.seq ?? upTo
    const missing = Math.max(0, reached - from) - fresh.length
    if (missing > 0) {
      this.#vanished += missing
      this.#forgetRows(missing, (this.#bytes / Math.max(1, this.#rows)) * missing)
    }
    this.#ahead.push(...fresh)
    this.#cursor = Math.max(this.#cursor, reached)
  }
}

const bytesOf = ({ topic, body }: OutboxRow): number => topic.length + body.length + ROW_BYTES

const eventIdOf = ({ body }: { readonly body: string }): number =>
  (JSON.parse(body) as { event: { id: number | null } }).event.id ?? 0
