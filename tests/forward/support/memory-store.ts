import type { OutboxRow, QueueStore, StoredOutboxRow } from '../../../gateway/forward/queue-store.ts'
import type { StoredEvent } from '../../../shared/schemas/events.ts'

/** The store as its interface promises, in memory: what a restart finds is what was appended and not trimmed. */
export class MemoryStore implements QueueStore {
  rows: StoredOutboxRow[] = []
  lastSeq = 0
  trail: StoredEvent[] = []
  readonly documents = new Map<string, string>()
  /** Set: every write rejects with it. */
  full: Error | null = null

  readonly outbox: QueueStore['outbox'] = {
    append: async (rows: readonly OutboxRow[]) => {
      this.#writable()
      for (const row of rows) {
        this.lastSeq += 1
        this.rows.push({ ...row, seq: this.lastSeq })
      }
      return this.lastSeq
    },
    after: async (seq, limit) => this.rows.filter((row) => row.seq > seq).slice(0, limit),
    trim: async (seq) => {
      this.#writable()
      this.rows = this.rows.filter((row) => row.seq > seq)
    },
    extent: async () => ({
      rows: this.rows.length,
      bytes: this.rows.reduce((sum, { topic, body }) => sum + topic.length + body.length + 24, 0),
      oldestMs: this.rows[0]?.timeMs ?? null,
      firstSeq: this.rows[0]?.seq ?? null,
      lastSeq: this.lastSeq,
    }),
    newest: async (prefix) => this.rows.findLast(({ topic }) => topic.startsWith(prefix)),
  }

  readonly document: QueueStore['document'] = {
    get: async (kind, id) => {
      const body = this.documents.get(`${kind} ${id}`)
      return body === undefined ? undefined : { id, timeMs: 0, body }
    },
    put: async (kind, id, value) => {
      this.#writable()
      this.documents.set(`${kind} ${id}`, JSON.stringify(value))
    },
  }

  readonly events: QueueStore['events'] = async ({ before, limit }) => {
    const found = this.trail.filter(({ id }) => before === undefined || id < before).reverse()
    const events = found.slice(0, limit)
    return { events, olderBefore: found.length > limit ? (events.at(-1)?.id ?? null) : null }
  }

  #writable(): void {
    if (this.full !== null) throw this.full
  }
}

export const madeEvent = (id: number, more: Partial<StoredEvent> = {}): StoredEvent => ({
  id,
  timeMs: id,
  kind: 'note',
  zone: null,
  who: null,
  text: `event ${id}`,
  data: {},
  ...more,
})
