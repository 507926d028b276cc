import type { EventList, StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { ChunkSource } from './chunk-source.ts'
import { type Database, openForReading, prepared } from './driver.ts'
import { type RangeFacts, rangeFactsOf } from './range-facts.ts'
import { readHistory } from './read-history.ts'
import { readSamplePage, type SamplePage } from './read-samples.ts'
import { RevisionTable } from './revision-table.ts'

export interface EventQuery {
  readonly zone?: string | undefined
  readonly kind?: string | undefined
  readonly fromMs?: number | undefined
  readonly toMs?: number | undefined
  /** Only events of smaller number. */
  readonly before?: number | undefined
  readonly limit: number
}

export interface StoredDocument {
  readonly id: string
  readonly timeMs: number
  readonly body: string
}

/** All that waits to be sent on. */
export interface OutboxExtent {
  readonly rows: number
  /** As the limits of the config count them. */
  readonly bytes: number
  readonly oldestMs: number | null
  /** Null when nothing waits. */
  readonly firstSeq: number | null
  /** The last number given, also when its row is gone; 0 before the first. */
  readonly lastSeq: number
}

export interface StoredOutboxRow {
  readonly seq: number
  readonly timeMs: number
  readonly topic: string
  readonly body: string
}

/** The one who reads the store, beside the one who writes it: each answer is of one moment. */
export class StoreReader {
  readonly #db: Database
  readonly #revisions: RevisionTable

  constructor(path: string) {
    this.#db = openForReading(path)
    this.#revisions = new RevisionTable(this.#db)
  }

  /** Undefined when no revision ever had this zone. */
  history(zone: string, fromMs: number, toMs: number, points: number): ZoneHistory | undefined {
    return this.#atOneMoment(() =>
      readHistory({ db: this.#db, revisions: this.#revisions, chunks: this.#chunks(), zone, fromMs, toMs, points }),
    )
  }

  /** The samples of a zone from a time on, as many as make a page; undefined when no revision ever had this zone. */
  samplePage(zone: string, fromTick: number, toTick: number): SamplePage | undefined {
    return this.#atOneMoment(() => readSamplePage(this.#revisions, this.#chunks(), zone, fromTick, toTick))
  }

  /** What the store holds of a zone in a range; undefined when no revision ever had this zone. */
  rangeFacts(zone: string, fromMs: number, toMs: number): RangeFacts | undefined {
    return this.#atOneMoment(() => rangeFactsOf(this.#revisions, this.#chunks(), zone, fromMs, toMs))
  }

  minutes(zone: string, fromMs: number, toMs: number): ZoneMinute[] {
    const rows = prepared(this.#db, 'SELECT body FROM minute WHERE zone = ? AND t >= ? AND t < ? ORDER BY t').all(
      zone,
      fromMs,
      toMs,
    ) as { body: string }[]
    return rows.map(({ body }) => JSON.parse(body) as ZoneMinute)
  }

  events({ zone, kind, fromMs, toMs, before, limit }: EventQuery): EventList {
    const conditions: string[] = []
    const values: (string | number)[] = []
    const where = (condition: string, value: string | number | undefined) => {
      if (value === undefined) return
      conditions.push(condition)
      values.push(value)
    }
    where('zone = ?', zone)
    where('kind = ?', kind)
    where('t >= ?', fromMs)
    where('t < ?', toMs)
    where('id < ?', before)
    const rows = prepared(
      this.#db,
      `SELECT id, t, kind, zone, who, text, data FROM event
         ${conditions.length === 0 ? '' : `WHERE ${conditions.join(' AND ')}`} ORDER BY id DESC LIMIT ?`,
    ).all(...values, limit + 1) as EventRow[]
    const events = rows.slice(0, limit).map(eventOf)
    return { events, olderBefore: rows.length > limit ? (events.at(-1)?.id ?? null) : null }
  }

  document(kind: string, id: string): StoredDocument | undefined {
    const row = prepared(this.#db, 'SELECT id, t, body FROM document WHERE kind = ? AND id = ?').get(kind, id) as
      | DocumentRow
      | undefined
    return row === undefined ? undefined : documentOf(row)
  }

  /** By id, from this one on. */
  documents(kind: string, fromId = ''): StoredDocument[] {
    const rows = prepared(this.#db, 'SELECT id, t, body FROM document WHERE kind = ? AND id >= ? ORDER BY id').all(
      kind,
      fromId,
    )
    return (rows as DocumentRow[]).map(documentOf)
  }

  outboxAfter(seq: number, limit: number): StoredOutboxRow[] {
    const rows = prepared(this.#db, 'SELECT seq, t, topic, body FROM outbox WHERE seq > ? ORDER BY seq LIMIT ?').all(
      seq,
      limit,
    ) as { seq: number; t: number; topic: string; body: string }[]
    return rows.map(({ t, ...row }) => ({ ...row, timeMs: t }))
  }

  outboxExtent(): OutboxExtent {
    return prepared(
      this.#db,
      `SELECT count(*) AS rows, coalesce(sum(length(topic) + length(body) + 24), 0) AS bytes,
        (SELECT t FROM outbox ORDER BY seq LIMIT 1) AS oldestMs,
        (SELECT min(seq) FROM outbox) AS firstSeq,
        coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'outbox'), 0) AS lastSeq FROM outbox`,
    ).get() as OutboxExtent
  }

  /** The newest row whose topic begins so. */
  outboxNewest(topicPrefix: string): StoredOutboxRow | undefined {
    const row = prepared(
      this.#db,
      'SELECT seq, t AS timeMs, topic, body FROM outbox WHERE substr(topic, 1, ?) = ? ORDER BY seq DESC LIMIT 1',
    ).get(topicPrefix.length, topicPrefix)
    return row as StoredOutboxRow | undefined
  }

  close(): void {
    this.#db.close()
  }

  #chunks(): ChunkSource {
    return new ChunkSource(this.#db)
  }

  /** A minute that is sealed in between must not be read twice, or not at all. */
  #atOneMoment<T>(read: () => T): T {
    this.#db.exec('BEGIN')
    try {
      this.#revisions.refresh()
      return read()
    } finally {
      this.#db.exec('COMMIT')
    }
  }
}

interface EventRow {
  readonly id: number
  readonly t: number
  readonly kind: StoredEvent['kind']
  readonly zone: string | null
  readonly who: string | null
  readonly text: string
  readonly data: string
}

const eventOf = ({ t, data, ...row }: EventRow): StoredEvent => ({ ...row, timeMs: t, data: JSON.parse(data) })

interface DocumentRow {
  readonly id: string
  readonly t: number
  readonly body: string
}

const documentOf = ({ id, t, body }: DocumentRow): StoredDocument => ({ id, timeMs: t, body })
