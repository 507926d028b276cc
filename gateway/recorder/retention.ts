import { TICKS_PER_MS, ticksOf } from '../../lib/store-codec/times.ts'
import { KEPT_KINDS, type KeptKind } from '../../shared/schemas/recorder.ts'
import { type Database, prepared, transaction } from './driver.ts'
import { ROLL_UP_LEVELS } from './roll-up.ts'
import { addSize, BYTES_A_ROLL_UP, BYTES_BESIDE, sizeOf } from './sizes.ts'

export interface KeepLimit {
  readonly days: number
  readonly mb: number
}
export type KeepLimits = Readonly<Record<KeptKind, KeepLimit>>

const DAY_MS = 86_400_000
const MB = 1e6
/** A step of time by which samples are deleted for their size. */
const SIZE_STEP_TICKS = 6 * 3_600_000 * TICKS_PER_MS

/**
 * Deletes what is older than its limit, then the oldest of what is larger than its limit, at most so many rows of each
 * kind in one go. Returns whether there is more to delete. What lies in a protected range stays. The file does not shrink: its free pages are
 * used again.
 */
export function deleteBatch(db: Database, limits: KeepLimits, nowMs: number, most: number): boolean {
  const oldest = (kind: KeptKind) => nowMs - limits[kind].days * DAY_MS
  return transaction(db, () => {
    const old = [
      deleteSamples(db, ticksOf(oldest('samples')), most),
      deleteRollUps(db, oldest('roll_ups') / 1000, most),
      ...ROW_KINDS.map((kind) => deleteRows(db, kind, oldest(kind), most)),
    ]
    const large = [
      shrinkSamples(db, limits.samples.mb * MB, most),
      shrinkRollUps(db, limits.roll_ups.mb * MB, most),
      ...ROW_KINDS.map((kind) => shrinkRows(db, kind, limits[kind].mb * MB, most)),
    ]
    return old.some((count) => count >= most) || large.some((count) => count > 0)
  })
}

// --- samples -------------------------------------------------------------------

const UNPROTECTED_CHUNK = `NOT EXISTS (SELECT 1 FROM protected p
  WHERE p.channel = chunk.channel AND p.t0 <= chunk.t1 AND p.t1 >= chunk.t0)`

/** Chunks that ended before a tick. Returns how many went. */
function deleteSamples(db: Database, beforeTick: number, most: number): number {
  const channels = prepared(db, 'SELECT id FROM channel').all() as { id: number }[]
  let count = 0
  for (const { id } of channels) {
    const rows = prepared(
      db,
      `SELECT id, axis, length(data) AS bytes FROM chunk
        WHERE channel = ? AND t0 < ? AND t1 < ? AND ${UNPROTECTED_CHUNK} ORDER BY t0 LIMIT ?`,
    ).all(id, beforeTick, beforeTick, most - count) as { id: number; axis: number; bytes: number }[]
    for (const row of rows) deleteChunk(db, row)
    count += rows.length
    if (count >= most) break
  }
  return count
}

function deleteChunk(db: Database, { id, axis, bytes }: { id: number; axis: number; bytes: number }): void {
  prepared(db, 'DELETE FROM chunk WHERE id = ?').run(id)
  const gone = prepared(
    db,
    `DELETE FROM axis WHERE id = ? AND NOT EXISTS (SELECT 1 FROM chunk WHERE axis = ?)
      RETURNING length(data) AS bytes`,
  ).get(axis, axis) as { bytes: number } | undefined
  addSize(db, 'samples', -bytes - (gone?.bytes ?? 0))
}

/** The oldest samples while all of them take more than allowed. */
function shrinkSamples(db: Database, mostBytes: number, most: number): number {
  if (sizeOf(db, 'samples') <= mostBytes) return 0
  const { t0 } = prepared(
    db,
    `SELECT min((SELECT t0 FROM chunk WHERE channel = c.id AND ${UNPROTECTED_CHUNK} ORDER BY t0 LIMIT 1)) AS t0
      FROM channel c`,
  ).get() as { t0: number | null }
  return t0 === null ? 0 : deleteSamples(db, t0 + SIZE_STEP_TICKS, most)
}

// --- roll-ups --------------------------------------------------------------------

const TICKS_PER_S = 1000 * TICKS_PER_MS
const UNPROTECTED_ROLL_UP = `NOT EXISTS (SELECT 1 FROM protected p WHERE p.channel = r.channel
  AND p.t0 <= (r.t + r.level) * ${TICKS_PER_S} AND p.t1 >= r.t * ${TICKS_PER_S})`

function deleteRollUps(db: Database, beforeS: number, most: number): number {
  const channels = prepared(db, 'SELECT id FROM channel').all() as { id: number }[]
  let count = 0
  for (const { id } of channels)
    for (const level of ROLL_UP_LEVELS) {
      const { changes } = prepared(
        db,
        `DELETE FROM rollup WHERE (level, channel, t) IN (SELECT level, channel, t FROM rollup r
          WHERE level = ? AND channel = ? AND t < ? AND ${UNPROTECTED_ROLL_UP} ORDER BY t LIMIT ?)`,
      ).run(level, id, Math.floor(beforeS - level), Math.max(0, most - count))
      if (level === ROLL_UP_LEVELS[0]) addSize(db, 'roll_ups', -changes * BYTES_A_ROLL_UP)
      count += changes
    }
  return count
}

/** Oldest roll-up of those meant, seconds since 1970, looked up channel by channel: the index begins with it. */
function oldestRollUpS(db: Database, condition: 'TRUE' | typeof UNPROTECTED_ROLL_UP): number | null {
  const [level] = ROLL_UP_LEVELS
  const row = prepared(
    db,
    `SELECT min((SELECT t FROM rollup r WHERE level = ? AND channel = c.id AND ${condition} ORDER BY t LIMIT 1)) AS t
      FROM channel c`,
  ).get(level) as { t: number | null }
  return row.t
}

/** Every level alike loses its oldest; the finest level holds nearly all of them. */
function shrinkRollUps(db: Database, mostBytes: number, most: number): number {
  if (sizeOf(db, 'roll_ups') <= mostBytes) return 0
  const t = oldestRollUpS(db, UNPROTECTED_ROLL_UP)
  return t === null ? 0 : deleteRollUps(db, t + SIZE_STEP_TICKS / TICKS_PER_S, most)
}

// --- rows with a time in ms ----------------------------------------------------------

type RowKind = 'minutes' | 'events' | 'outbox'
const ROW_KINDS = ['minutes', 'events', 'outbox'] as const satisfies readonly RowKind[]

interface RowTable {
  readonly table: string
  /** What names a row. */
  readonly key: string
  /** Its columns of text. */
  readonly texts: readonly string[]
  /** Whether a protected range of its zone keeps it. */
  readonly hasZone: boolean
}
const TABLES: Readonly<Record<RowKind, RowTable>> = {
  minutes: { table: 'minute', key: 'zone, t', texts: ['body'], hasZone: true },
  events: { table: 'event', key: 'id', texts: ['text', 'data'], hasZone: true },
  outbox: { table: 'outbox', key: 'seq', texts: ['topic', 'body'], hasZone: false },
}

/** The zones that have minutes, each by one look at the index. */
const ZONES = `WITH RECURSIVE z(zone) AS (SELECT min(zone) FROM minute UNION ALL
  SELECT (SELECT min(zone) FROM minute WHERE zone > z.zone) FROM z WHERE z.zone IS NOT NULL)
  SELECT zone FROM z WHERE zone IS NOT NULL`

const UNPROTECTED_ROW = `NOT EXISTS (SELECT 1 FROM protected p WHERE p.zone = r.zone
  AND p.t0 <= r.t * ${TICKS_PER_MS} AND p.t1 >= r.t * ${TICKS_PER_MS})`

function deleteRows(db: Database, kind: RowKind, beforeMs: number, most: number): number {
  if (kind !== 'minutes') return deleteWhere(db, kind, 't < ?', [beforeMs], most)
  const zones = prepared(db, ZONES).all() as { zone: string }[]
  return zones.reduce((sum, { zone }) => sum + deleteWhere(db, kind, 'zone = ? AND t < ?', [zone, beforeMs], most), 0)
}

/** The oldest while all of them take more than allowed: of the minutes a day of every zone at a time. */
function shrinkRows(db: Database, kind: RowKind, mostBytes: number, most: number): number {
  const size = sizeOf(db, kind)
  const from = oldestRowMs(db, kind, UNPROTECTED_ROW)
  if (size <= mostBytes || from === null) return 0
  if (kind !== 'minutes') return deleteWhere(db, kind, 'TRUE', [], rowsOver(db, kind, size - mostBytes, most))
  return deleteRows(db, kind, from + DAY_MS, most)
}

/** How many of the oldest make up so many bytes; at most so many. */
function rowsOver(db: Database, kind: RowKind, bytes: number, most: number): number {
  const { table, key, texts } = TABLES[kind]
  const rows = prepared(db, `SELECT ${bytesOfRow(texts)} AS bytes FROM ${table} ORDER BY ${key} LIMIT ?`).all(most)
  let sum = 0
  const enough = (rows as { bytes: number }[]).findIndex((row) => {
    sum += row.bytes
    return sum >= bytes
  })
  return enough < 0 ? most : enough + 1
}

const bytesOfRow = (texts: readonly string[]) =>
  `${texts.map((text) => `length(${text})`).join(' + ')} + ${BYTES_BESIDE}`

function deleteWhere(
  db: Database,
  kind: RowKind,
  condition: string,
  values: readonly (string | number)[],
  limit: number,
): number {
  const { table, key, texts, hasZone } = TABLES[kind]
  const unprotected = hasZone ? `AND ${UNPROTECTED_ROW}` : ''
  const rows = prepared(
    db,
    `DELETE FROM ${table} WHERE (${key}) IN (SELECT ${key} FROM ${table} r
      WHERE ${condition} ${unprotected} ORDER BY ${key} LIMIT ?) RETURNING ${bytesOfRow(texts)} AS bytes`,
  ).all(...values, limit) as { bytes: number }[]
  addSize(db, kind, -rows.reduce((sum, { bytes }) => sum + bytes, 0))
  return rows.length
}

/** Oldest row of those meant, epoch ms; where no zone is, none is protected. */
function oldestRowMs(db: Database, kind: RowKind, condition: 'TRUE' | typeof UNPROTECTED_ROW): number | null {
  const { table, key, hasZone } = TABLES[kind]
  const meant = hasZone ? condition : 'TRUE'
  const sql =
    kind === 'minutes'
      ? `SELECT min((SELECT t FROM minute r WHERE zone = zones.zone AND ${meant} ORDER BY t LIMIT 1)) AS t
          FROM (${ZONES}) AS zones`
      : `SELECT t FROM ${table} r WHERE ${meant} ORDER BY ${key} LIMIT 1`
  return (prepared(db, sql).get() as { t: number | null } | undefined)?.t ?? null
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
  const { t } = prepared(
    db,
    'SELECT min(t) AS t FROM (SELECT min(t0) AS t FROM axis UNION ALL SELECT min(t0) FROM tail)',
  ).get() as { t: number | null }
  const rollUpS = oldestRollUpS(db, 'TRUE')
  const fromMs: Readonly<Record<KeptKind, number | null>> = {
    samples: t === null ? null : t / TICKS_PER_MS,
    roll_ups: rollUpS === null ? null : rollUpS * 1000,
    minutes: oldestRowMs(db, 'minutes', 'TRUE'),
    events: oldestRowMs(db, 'events', 'TRUE'),
    outbox: oldestRowMs(db, 'outbox', 'TRUE'),
  }
  return KEPT_KINDS.map((kind) => ({ kind, bytes: sizeOf(db, kind), fromMs: fromMs[kind] }))
}
