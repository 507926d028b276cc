import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { type Database, prepared, transaction } from './driver.ts'
import { orSaid } from './or-said.ts'
import { addSize, BYTES_BESIDE } from './sizes.ts'
import type { OutboxRow } from './writer-facts.ts'

export interface NamedMinute {
  readonly zone: string
  readonly minute: ZoneMinute
}

/** Of two of the same minute the one with more good frames stays. */
export function insertMinutes(db: Database, rows: readonly NamedMinute[]): void {
  transaction(db, () => {
    for (const { zone, minute } of rows) insertMinute(db, zone, minute)
  })
}

function insertMinute(db: Database, zone: string, minute: ZoneMinute): void {
  const body = JSON.stringify(minute)
  const before = prepared(db, 'SELECT length(body) AS bytes FROM minute WHERE zone = ? AND t = ?').get(
    zone,
    minute.tMs,
  ) as { bytes: number } | undefined
  if (before === undefined) addSize(db, 'minutes', body.length + BYTES_BESIDE)
  prepared(
    db,
    `INSERT INTO minute (zone, t, good, total, imbalance, residual, body) VALUES (?, ?, ?, ?, ?, ?, ?)
      ON CONFLICT (zone, t) DO UPDATE SET good = excluded.good, total = excluded.total,
        imbalance = excluded.imbalance, residual = excluded.residual, body = excluded.body
      WHERE excluded.good >= good`,
  ).run(zone, minute.tMs, minute.good, minute.total, minute.imbalance ?? null, minute.residual ?? null, body)
}

/** Adds events whose numbers were given already; on the disk on return. */
export function insertEvents(db: Database, events: readonly StoredEvent[]): void {
  const insert = prepared(
    db,
    'INSERT OR IGNORE INTO event (id, t, kind, zone, who, text, data) VALUES (?, ?, ?, ?, ?, ?, ?)',
  )
  transaction(db, () => {
    let bytes = 0
    for (const { id, timeMs, kind, zone, who, text, data } of events) {
      const details = JSON.stringify(data)
      const { changes } = insert.run(id, timeMs, kind, zone, who, text, details)
      bytes += changes * (text.length + details.length + BYTES_BESIDE)
    }
    addSize(db, 'events', bytes)
  })
}

/** On the disk on return. Throws EVP_STORE_FULL or EVP_STORE_WRITE, and what was there before stays. */
export function putDocument(db: Database, kind: string, id: string, timeMs: number, body: string): void {
  orSaid(() =>
    prepared(
      db,
      `INSERT INTO document (kind, id, t, body) VALUES (?, ?, ?, ?)
        ON CONFLICT (kind, id) DO UPDATE SET t = excluded.t, body = excluded.body`,
    ).run(kind, id, timeMs, body),
  )
}

/** Returns the number of the last row. */
export function appendOutbox(db: Database, rows: readonly OutboxRow[]): number {
  const insert = prepared(db, 'INSERT INTO outbox (t, topic, body) VALUES (?, ?, ?)')
  let last = 0
  transaction(db, () => {
    let bytes = 0
    for (const { timeMs, topic, body } of rows) {
      last = Number(insert.run(timeMs, topic, body).lastInsertRowid)
      bytes += topic.length + body.length + BYTES_BESIDE
    }
    addSize(db, 'outbox', bytes)
  })
  return last
}

/** Drops the rows up to and with this number. */
export function trimOutbox(db: Database, seq: number): void {
  transaction(db, () => {
    const gone = prepared(
      db,
      `DELETE FROM outbox WHERE seq <= ? RETURNING length(topic) + length(body) + ${BYTES_BESIDE} AS bytes`,
    ).all(seq) as { bytes: number }[]
    addSize(db, 'outbox', -gone.reduce((sum, { bytes }) => sum + bytes, 0))
  })
}
