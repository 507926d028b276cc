import { TICKS_PER_MS, ticksOf } from '../../lib/store-codec/times.ts'
import type { KeptKind } from '../../shared/schemas/recorder.ts'
import { addSize } from './chunks.ts'
import { type Database, transaction } from './driver.ts'
import { ROLL_UP_LEVELS } from './roll-up.ts'

export interface KeepLimit {
  readonly days: number
  readonly mb: number
}
export type KeepLimits = Readonly<Record<KeptKind, KeepLimit>>

const DAY_MS = 86_400_000
const MB = 1e6
/** Rows deleted in one go: a second's samples must not wait for long. */
const BATCH = 2000
/** A step of time by which samples are deleted for their size. */
const SIZE_STEP_TICKS = 6 * 3_600_000 * TICKS_PER_MS

/**
 * Deletes what is older than its limit, then the oldest of what is larger than its limit, a batch of each kind. Returns
 * whether there is more to delete. What lies in a protected range stays. The file does not shrink: its free pages are
 * used again.
 */
export function deleteBatch(db: Database, limits: KeepLimits, nowMs: number): boolean {
  const oldest = (kind: KeptKind) => nowMs - limits[kind].days * DAY_MS
  return transaction(db, () => {
    const old = [
      deleteSamples(db, ticksOf(oldest('samples'))),
      deleteRollUps(db, oldest('roll_ups') / 1000),
      ...ROW_KINDS.map((kind) => deleteRows(db, kind, oldest(kind))),
    ]
    const large = [
      shrinkSamples(db, limits.samples.mb * MB),
      shrinkRollUps(db, limits.roll_ups.mb * MB),
      ...ROW_KINDS.map((kind) => shrinkRows(db, kind, limits[kind].mb * MB)),
    ]
    return old.some((count) => count >= BATCH) || large.some((count) => count > 0)
  })
}

// --- samples -------------------------------------------------------------------

const UNPROTECTED_CHUNK = `NOT EXISTS (SELECT 1 FROM protected p
  WHERE p.channel = chunk.channel AND p.t0 <= chunk.t1 AND p.t1 >= chunk.t0)`

/** Chunks that ended before a tick. Returns how many went. */
function deleteSamples(db: Database, beforeTick: number): number {
  const channels = db.prepare('SELECT id FROM channel').all() as { id: number }[]
  let count = 0
  for (const { id } of channels) {
    const rows = db
      .prepare(`SELECT id, axis, length(data) AS bytes FROM chunk
        WHERE channel = ? AND t0 < ? AND t1 < ? AND ${UNPROTECTED_CHUNK} ORDER BY t0 LIMIT ?`)
      .all(id, beforeTick, beforeTick, BATCH - count) as { id: number; axis: number; bytes: number }[]
    for (const row of rows) deleteChunk(db, row)
    count += rows.length
    if (count >= BATCH) break
  }
  return count
}

function deleteChunk(db: Database, { id, axis, bytes }: { id: number; axis: number; bytes: number }): void {
  db.prepare('DELETE FROM chunk WHERE id = ?').run(id)
  const gone = db
    .prepare(`DELETE FROM axis WHERE id = ? AND NOT EXISTS (SELECT 1 FROM chunk WHERE axis = ?)
      RETURNING length(data) AS bytes`)
    .get(axis, axis) as { bytes: number } | undefined
  addSize(db, -bytes - (gone?.bytes ?? 0))
}

/** The oldest samples while all of them take more than allowed. */
function shrinkSamples(db: Database, mostBytes: number): number {
  const { bytes } = db.prepare("SELECT bytes FROM size WHERE kind = 'samples'").get() as { bytes: number }
  if (bytes <= mostBytes) return 0
  const { t0 } = db.prepare(`SELECT min(t0) AS t0 FROM chunk WHERE ${UNPROTECTED_CHUNK}`).get() as { t0: number | null }
  return t0 === null ? 0 : deleteSamples(db, t0 + SIZE_STEP_TICKS)
}

// --- roll-ups --------------------------------------------------------------------

const BYTES_A_ROLL_UP = 64
const TICKS_PER_S = 1000 * TICKS_PER_MS
const UNPROTECTED_ROLL_UP = `NOT EXISTS (SELECT 1 FROM protected p WHERE p.channel = r.channel
  AND p.t0 <= (r.t + r.level) * ${TICKS_PER_S} AND p.t1 >= r.t * ${TICKS_PER_S})`

function deleteRollUps(db: Database, beforeS: number): number {
  const channels = db.prepare('SELECT id FROM channel').all() as { id: number }[]
  let count = 0
  for (const { id } of channels)
    for (const level of ROLL_UP_LEVELS) {
      const { changes } = db
        .prepare(`DELETE FROM rollup WHERE (level, channel, t) IN (SELECT level, channel, t FROM rollup r
          WHERE level = ? AND channel = ? AND t < ? AND ${UNPROTECTED_ROLL_UP} ORDER BY t LIMIT ?)`)
        .run(level, id, Math.floor(beforeS - level), Math.max(0, BATCH - count))
      count += changes
    }
  return count
}

/** Every level alike loses its oldest; the finest level holds nearly all of them. */
function shrinkRollUps(db: Database, mostBytes: number): number {
  const { n } = db.prepare('SELECT count(*) AS n FROM rollup').get() as { n: number }
  if (n * BYTES_A_ROLL_UP <= mostBytes) return 0
  const { t } = db.prepare('SELECT min(t) AS t FROM rollup WHERE level = 10').get() as { t: number | null }
  return t === null ? 0 : deleteRollUps(db, t + SIZE_STEP_TICKS / TICKS_PER_S)
}

// --- rows with a time in ms ----------------------------------------------------------

const TABLES = {
  minutes: { table: 'minute', bytes: 'length(body) + 64', zone: true },
  events: { table: 'event', bytes: 'length(text) + length(data) + 64', zone: true },
  outbox: { table: 'outbox', bytes: 'length(topic) + length(body) + 24', zone: false },
} as const
type RowKind = keyof typeof TABLES
const ROW_KINDS = ['minutes', 'events', 'outbox'] as const satisfies readonly RowKind[]

const unprotectedRow = (kind: RowKind) =>
  TABLES[kind].zone
    ? `AND NOT EXISTS (SELECT 1 FROM protected p WHERE p.zone = r.zone
        AND p.t0 <= r.t * ${TICKS_PER_MS} AND p.t1 >= r.t * ${TICKS_PER_MS})`
    : ''

function deleteRows(db: Database, kind: RowKind, beforeMs: number): number {
  const key = kind === 'minutes' ? 'zone, t' : 'rowid'
  const { table } = TABLES[kind]
  return db
    .prepare(
      `DELETE FROM ${table} WHERE (${key}) IN (SELECT ${key} FROM ${table} r WHERE t < ? ${unprotectedRow(kind)} LIMIT ?)`,
    )
    .run(beforeMs, BATCH).changes
}

function shrinkRows(db: Database, kind: RowKind, mostBytes: number): number {
  const over = bytesOf(db, kind) - mostBytes
  if (over <= 0) return 0
  const { table } = TABLES[kind]
  const { n } = db.prepare(`SELECT count(*) AS n FROM ${table}`).get() as { n: number }
  const rows = Math.ceil((over / (over + mostBytes)) * n)
  const cut = db.prepare(`SELECT t FROM ${table} ORDER BY t LIMIT 1 OFFSET ?`).get(Math.min(rows, n - 1)) as {
    t: number
  }
  return deleteRows(db, kind, cut.t)
}

function bytesOf(db: Database, kind: RowKind): number {
  const { table, bytes } = TABLES[kind]
  const row = db.prepare(`SELECT sum(${bytes}) AS bytes FROM ${table}`).get() as { bytes: number | null }
  return row.bytes ?? 0
}

// --- what there is -----------------------------------------------------------------------

export interface KeptKindFacts {
  readonly kind: KeptKind
  readonly bytes: number
  /** Epoch ms of the oldest; null when there is none. */
  readonly fromMs: number | null
}

/** What each kind takes, and since when it is kept. */
export function keptFacts(db: Database): KeptKindFacts[] {
  const one = (sql: string) => (db.prepare(sql).get() as { value: number | null }).value
  const rollUps = one('SELECT count(*) AS value FROM rollup') ?? 0
  return [
    {
      kind: 'samples',
      bytes: one("SELECT bytes AS value FROM size WHERE kind = 'samples'") ?? 0,
      fromMs: one(
        `SELECT min(t) / ${TICKS_PER_MS}.0 AS value FROM (SELECT min(t0) AS t FROM axis UNION ALL SELECT min(t0) FROM tail)`,
      ),
    },
    {
      kind: 'roll_ups',
      bytes: rollUps * BYTES_A_ROLL_UP,
      fromMs: one('SELECT min(t) * 1000 AS value FROM rollup WHERE level = 10'),
    },
    ...ROW_KINDS.map((kind) => ({
      kind,
      bytes: bytesOf(db, kind),
      fromMs: one(`SELECT min(t) AS value FROM ${TABLES[kind].table}`),
    })),
  ]
}
