import { mkdirSync, statfsSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { type ChannelColumn, decodeBlock, encodeBlock } from '../../lib/store-codec/block.ts'
import { ticksOf } from '../../lib/store-codec/times.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { ChannelConfig } from '../../shared/schemas/config.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { rolesOf } from '../zone-roles.ts'
import { insertChunks } from './chunks.ts'
import { ColumnBuffer, type TimedColumn } from './column-buffer.ts'
import { type Database, faultOf, prepared, type StoreFault, transaction } from './driver.ts'
import { type OpenedStore, openStore } from './open-store.ts'
import { RECOVERED } from './recovered.ts'
import { deleteBatch, type KeepLimits, type KeptKindFacts, keptFacts } from './retention.ts'
import { type RevisionScales, type SiValue, siValuesOf } from './revision-scales.ts'
import { ROLL_UP_LEVELS, type RollUp, rollUp, wider } from './roll-up.ts'
import { addSize, BYTES_A_ROLL_UP, BYTES_BESIDE } from './sizes.ts'

/** Samples of one channel as the main thread hands them over. */
export interface NamedColumn extends TimedColumn {
  readonly channel: string
}

export interface OutboxRow {
  readonly timeMs: number
  readonly topic: string
  readonly body: string
}

export interface WriterLimits {
  /** Under so much free space only roll-ups are written. */
  readonly minFreeBytes: number
  readonly keep: KeepLimits
}

export interface WriterOptions extends WriterLimits {
  readonly path: string
  /** The file was found to be broken: set it aside whatever its beginning looks like. */
  readonly isBroken?: boolean
  /** Epoch ms, for the name of a file that is set aside. */
  readonly nowMs: number
  /** Space left for the store, for tests; asked of the file system when absent. */
  readonly freeBytes?: () => number
}

/** What a writer found when it opened. */
export interface Found {
  /** Newest time in the store, epoch ms; null in an empty one. */
  readonly newestMs: number | null
  readonly lastEventId: number
  /** Where a file that could not be read was put; null usually. */
  readonly setAside: string | null
}

export type WriterState = 'running' | 'roll-ups-only' | 'stopped'

export interface WriterStatus {
  readonly state: WriterState
  readonly fault: { readonly kind: StoreFault; readonly message: string } | null
  readonly freeBytes: number | null
  readonly bytes: number | null
  readonly lostSamples: number
}

/** Samples held in memory while nothing can be written; beyond it they are lost, and counted. */
const MOST_HELD = 2_000_000

/**
 * The one who writes the store. Samples come about once a second and are on the disk as a row of `tail` when `samples`
 * returns; `seal`, once a minute, turns them into chunks and roll-ups and drops those rows, all in one transaction.
 * What a process that was killed left in the tail is taken up again by the next.
 *
 * Full disk: under the free space asked for only roll-ups are written; when writing fails it stops, holds what it can in
 * memory, and tries again with each seal. Whatever state it is in, asking it never throws for want of space but where
 * the caller has to know (documents, outbox, events, minutes).
 */
export class StoreWriter {
  #options: WriterOptions
  readonly #store: OpenedStore
  readonly #insertTail: ReturnType<Database['prepare']>
  readonly #channels = new Map<string, number>()
  /** By channel and revision number. */
  readonly #buffers = new Map<string, { channel: number; revision: number; buffer: ColumnBuffer }>()
  readonly #scales = new Map<number, ReadonlyMap<number, SiValue>>()
  #revision = 0
  #revisionText = ''
  /** Held in memory and not in the tail yet. */
  #unwritten: ChannelColumn[] = []
  #state: WriterState = 'running'
  #fault: WriterStatus['fault'] = null
  #lost = 0
  /** Of the last look: with each seal, and when asked without samples. */
  #disk: Pick<WriterStatus, 'freeBytes' | 'bytes'> = { freeBytes: null, bytes: null }

  /** Throws EVP_STORE_LOCKED, EVP_STORE_NEWER or EVP_STORE_WRITE. */
  constructor(options: WriterOptions) {
    this.#options = options
    mkdirFor(options.path)
    this.#store = openStore(options.path, options.nowMs, options.isBroken ?? false)
    this.#insertTail = prepared(this.#db, 'INSERT INTO tail (t0, t1, n, data) VALUES (?, ?, ?, ?)')
    this.#readNames()
    this.#takeUpTail()
    this.#lookAtDisk()
  }

  get #db(): Database {
    return this.#store.db
  }

  get found(): Found {
    const last = prepared(
      this.#db,
      `SELECT max(coalesce((SELECT max(id) FROM event), 0),
        coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'event'), 0)) AS id`,
    ).get() as { id: number }
    return { newestMs: this.#newestMs(), lastEventId: last.id, setAside: this.#store.setAside }
  }

  /** A revision of the config came into force: what comes from now on is read by its scales. */
  configure(revision: string, timeMs: number, scales: RevisionScales): void {
    const config = JSON.stringify(scales)
    const newest = prepared(this.#db, 'SELECT id, revision, t, config FROM revision ORDER BY id DESC LIMIT 1').get() as
      | { id: number; revision: string; t: number; config: string }
      | undefined
    if (newest?.revision === revision && newest.config === config) this.#revision = newest.id
    else {
      // After all that was read under the one before, also where the wall clock was set back meanwhile.
      const t = Math.max(Math.floor(timeMs), (newest?.t ?? 0) + 1, Math.floor(this.#newestMs() ?? -1) + 1)
      const { lastInsertRowid } = prepared(this.#db, 'INSERT INTO revision (revision, t, config) VALUES (?, ?, ?)').run(
        revision,
        t,
        config,
      )
      this.#revision = Number(lastInsertRowid)
    }
    this.#revisionText = revision
  }

  /** Limits of the config that changed: what is held and what is open goes on. */
  limit(limits: WriterLimits): void {
    this.#options = { ...this.#options, ...limits }
  }

  get revision(): string {
    return this.#revisionText
  }

  /** Takes samples; they are on the disk on return unless `status` says otherwise. Without any it looks at the disk. */
  samples(columns: readonly NamedColumn[]): WriterStatus {
    const taken = columns.filter(({ ticks }) => ticks.length > 0).map((column) => this.#numbered(column))
    if (taken.length === 0) this.#lookAtDisk()
    for (const column of taken) this.#hold(column)
    if (this.#state !== 'roll-ups-only') this.#unwritten.push(...taken)
    // A disk that is full is not asked every second.
    if (this.#state === 'running') this.#trying(() => this.#writeTail())
    this.#dropBeyondMemory()
    return this.status()
  }

  /** Turns what is held into chunks and roll-ups, and looks after the disk. */
  seal(): WriterStatus {
    this.#lookAtDisk()
    const free = this.#disk.freeBytes
    const { minFreeBytes } = this.#options
    const isShort = free !== null && free < minFreeBytes
    const hasRecovered = free === null || free >= minFreeBytes * RECOVERED
    // What was taken while there was room is still written whole: the reserve is there for that.
    const withSamples = this.#state === 'running' || (this.#state === 'stopped' && !isShort)
    const next: WriterState =
      isShort || (this.#state === 'roll-ups-only' && !hasRecovered) ? 'roll-ups-only' : 'running'
    this.#trying(() => {
      this.#writeSealed({ withSamples })
      this.#become(next, next === 'running' ? null : { kind: 'full', message: 'the disk is nearly full' })
    })
    this.#dropBeyondMemory()
    return this.status()
  }

  /** Deletes a batch of what is beyond its limits; returns whether there is more. */
  retain(nowMs: number): boolean {
    return deleteBatch(this.#db, this.#options.keep, nowMs)
  }

  kept(): KeptKindFacts[] {
    return keptFacts(this.#db)
  }

  /** Names a range of a zone that outlives every limit; the same name again replaces it. Throws as `putDocument` does. */
  protect(name: string, zone: string, fromMs: number, toMs: number): void {
    orSaid(() =>
      transaction(this.#db, () => {
        const insert = prepared(this.#db, 'INSERT INTO protected (name, zone, channel, t0, t1) VALUES (?, ?, ?, ?, ?)')
        prepared(this.#db, 'DELETE FROM protected WHERE name = ?').run(name)
        for (const channel of this.#channelsEverIn(zone))
          insert.run(name, zone, channel, ticksOf(fromMs), ticksOf(toMs))
      }),
    )
  }

  unprotect(name: string): void {
    prepared(this.#db, 'DELETE FROM protected WHERE name = ?').run(name)
  }

  minutes(rows: readonly { readonly zone: string; readonly minute: ZoneMinute }[]): void {
    transaction(this.#db, () => {
      for (const { zone, minute } of rows) this.#minute(zone, minute)
    })
  }

  #minute(zone: string, minute: ZoneMinute): void {
    const body = JSON.stringify(minute)
    const before = prepared(this.#db, 'SELECT length(body) AS bytes FROM minute WHERE zone = ? AND t = ?').get(
      zone,
      minute.tMs,
    ) as { bytes: number } | undefined
    if (before === undefined) addSize(this.#db, 'minutes', body.length + BYTES_BESIDE)
    prepared(
      this.#db,
      `INSERT INTO minute (zone, t, good, total, imbalance, residual, body) VALUES (?, ?, ?, ?, ?, ?, ?)
        ON CONFLICT (zone, t) DO UPDATE SET good = excluded.good, total = excluded.total,
          imbalance = excluded.imbalance, residual = excluded.residual, body = excluded.body
        WHERE excluded.good >= good`,
    ).run(zone, minute.tMs, minute.good, minute.total, minute.imbalance ?? null, minute.residual ?? null, body)
  }

  /** Adds events whose numbers were given already; on the disk on return. */
  events(events: readonly StoredEvent[]): void {
    const insert = prepared(
      this.#db,
      'INSERT OR IGNORE INTO event (id, t, kind, zone, who, text, data) VALUES (?, ?, ?, ?, ?, ?, ?)',
    )
    transaction(this.#db, () => {
      let bytes = 0
      for (const { id, timeMs, kind, zone, who, text, data } of events) {
        const details = JSON.stringify(data)
        const { changes } = insert.run(id, timeMs, kind, zone, who, text, details)
        bytes += changes * (text.length + details.length + BYTES_BESIDE)
      }
      addSize(this.#db, 'events', bytes)
    })
  }

  /** On the disk on return. Throws EVP_STORE_FULL or EVP_STORE_WRITE, and what was there before stays. */
  putDocument(kind: string, id: string, timeMs: number, body: string): void {
    orSaid(() =>
      prepared(
        this.#db,
        `INSERT INTO document (kind, id, t, body) VALUES (?, ?, ?, ?)
          ON CONFLICT (kind, id) DO UPDATE SET t = excluded.t, body = excluded.body`,
      ).run(kind, id, timeMs, body),
    )
  }

  /** Returns the number of the last row. */
  appendOutbox(rows: readonly OutboxRow[]): number {
    const insert = prepared(this.#db, 'INSERT INTO outbox (t, topic, body) VALUES (?, ?, ?)')
    let last = 0
    transaction(this.#db, () => {
      let bytes = 0
      for (const { timeMs, topic, body } of rows) {
        last = Number(insert.run(timeMs, topic, body).lastInsertRowid)
        bytes += topic.length + body.length + BYTES_BESIDE
      }
      addSize(this.#db, 'outbox', bytes)
    })
    return last
  }

  /** Drops the rows up to and with this number. */
  trimOutbox(seq: number): void {
    transaction(this.#db, () => {
      const gone = prepared(
        this.#db,
        `DELETE FROM outbox WHERE seq <= ? RETURNING length(topic) + length(body) + ${BYTES_BESIDE} AS bytes`,
      ).all(seq) as { bytes: number }[]
      addSize(this.#db, 'outbox', -gone.reduce((sum, { bytes }) => sum + bytes, 0))
    })
  }

  status(): WriterStatus {
    return {
      state: this.#state,
      fault: this.#fault,
      ...this.#disk,
      lostSamples: this.#lost,
    }
  }

  close(): void {
    if (this.#state !== 'stopped') this.#trying(() => this.#writeTail())
    this.#store.close()
  }

  // --- samples ---------------------------------------------------------------

  #numbered({ channel, ticks, raws, codes }: NamedColumn): ChannelColumn {
    return { channel: this.#channelNumber(channel), revision: this.#revision, ticks, raws, codes }
  }

  #channelNumber(name: string): number {
    const known = this.#channels.get(name)
    if (known !== undefined) return known
    const { lastInsertRowid } = prepared(this.#db, 'INSERT INTO channel (name) VALUES (?)').run(name)
    const number = Number(lastInsertRowid)
    this.#channels.set(name, number)
    return number
  }

  #hold(column: ChannelColumn): void {
    const key = `${column.channel} ${column.revision}`
    const held = this.#buffers.get(key) ?? {
      channel: column.channel,
      revision: column.revision,
      buffer: new ColumnBuffer(),
    }
    held.buffer.append(column)
    this.#buffers.set(key, held)
  }

  #writeTail(): void {
    const columns = this.#unwritten
    if (columns.length === 0) return
    const times = columns.flatMap(({ ticks }) => [ticks[0] ?? 0, ticks[ticks.length - 1] ?? 0])
    const n = columns.reduce((sum, { ticks }) => sum + ticks.length, 0)
    this.#insertTail.run(Math.min(...times), Math.max(...times), n, encodeBlock(columns))
    this.#unwritten = []
  }

  #writeSealed({ withSamples }: { readonly withSamples: boolean }): void {
    const columns = [...this.#buffers.values()]
      .filter(({ buffer }) => buffer.length > 0)
      .map(({ channel, revision, buffer }): ChannelColumn => ({ channel, revision, ...buffer.copy() }))
    transaction(this.#db, () => {
      if (withSamples) insertChunks(this.#db, columns)
      for (const column of columns) this.#writeRollUps(column)
      this.#db.exec('DELETE FROM tail')
    })
    if (!withSamples) this.#lost += columns.reduce((sum, { ticks }) => sum + ticks.length, 0)
    this.#buffers.clear()
    this.#unwritten = []
  }

  #writeRollUps(column: ChannelColumn): void {
    const upsert = prepared(
      this.#db,
      `INSERT INTO rollup (level, channel, t, n, min, max, sum, sumsq)
      VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT DO UPDATE SET n = n + excluded.n, min = min(min, excluded.min),
      max = max(max, excluded.max), sum = sum + excluded.sum, sumsq = sumsq + excluded.sumsq
      RETURNING n`,
    )
    let rows: RollUp[] = []
    let added = 0
    for (const level of ROLL_UP_LEVELS) {
      const isFinest = level === ROLL_UP_LEVELS[0]
      rows = isFinest ? rollUp(level, column, this.#valueFor(column)) : wider(rows, level)
      for (const { t, n, min, max, sum, sumsq } of rows) {
        const after = upsert.get(level, column.channel, t, n, min, max, sum, sumsq) as { n: number }
        if (isFinest && after.n === n) added += 1
      }
    }
    addSize(this.#db, 'roll_ups', added * BYTES_A_ROLL_UP)
  }

  #valueFor({ channel, revision }: ChannelColumn): SiValue {
    const known = this.#scales.get(revision) ?? this.#readScales(revision)
    return known.get(channel) ?? siValuesOf(undefined)
  }

  #readScales(revision: number): ReadonlyMap<number, SiValue> {
    const row = prepared(this.#db, 'SELECT config FROM revision WHERE id = ?').get(revision) as
      | { config: string }
      | undefined
    const channels = row === undefined ? [] : (JSON.parse(row.config) as { channels: ChannelConfig[] }).channels
    const scales = new Map(channels.map((channel) => [this.#channelNumber(channel.id), siValuesOf(channel)]))
    this.#scales.set(revision, scales)
    return scales
  }

  #channelsEverIn(zone: string): number[] {
    const revisions = prepared(this.#db, 'SELECT config FROM revision').all() as { config: string }[]
    const names = revisions.flatMap(({ config }) => {
      const found = (JSON.parse(config) as RevisionScales).zones.find((one) => one.zone.id === zone)
      return found === undefined ? [] : rolesOf(found.zone).map(([, channel]) => channel)
    })
    return [...new Set(names)].map((name) => this.#channelNumber(name))
  }

  // --- what may go wrong -------------------------------------------------------

  #trying(act: () => void): void {
    try {
      act()
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error)
      this.#become('stopped', { kind: faultOf(error), message })
    }
  }

  #become(state: WriterState, fault: WriterStatus['fault']): void {
    this.#state = state
    this.#fault = fault
  }

  /** Lets go of what no memory holds; what is on the disk already is taken up from there, lest the next seal drops it. */
  #dropBeyondMemory(): void {
    const held = this.#heldSamples()
    if (held <= MOST_HELD) return
    const lostBefore = this.#lost
    this.#buffers.clear()
    this.#unwritten = []
    try {
      this.#takeUpTail()
    } catch {
      // A disk that cannot be read either.
    }
    this.#lost = lostBefore + held - this.#heldSamples()
  }

  #heldSamples(): number {
    return [...this.#buffers.values()].reduce((sum, { buffer }) => sum + buffer.length, 0)
  }

  #lookAtDisk(): void {
    this.#disk = { freeBytes: this.#freeBytes(), bytes: bytesOf(this.#options.path) }
  }

  /** What the disk has left, and what the file has inside itself; null when nobody can tell. */
  #freeBytes(): number | null {
    const { freeBytes, path } = this.#options
    if (freeBytes !== undefined) return freeBytes()
    try {
      const { bavail, bsize } = statfsSync(dirname(path))
      const { freelist_count: pages } = prepared(this.#db, 'PRAGMA freelist_count').get() as { freelist_count: number }
      return bavail * bsize + pages * 4096
    } catch {
      return null
    }
  }

  /**
   * A roll-up counts by its beginning: by its end, a quick restart would find itself before the newest record.
   * Events do not count: a note may be about any time.
   */
  #newestMs(): number | null {
    const newest = prepared(
      this.#db,
      `SELECT max(t) AS t FROM (
        SELECT max(t1) / 10.0 AS t FROM (SELECT t1 FROM axis ORDER BY t0 DESC LIMIT 500)
        UNION ALL SELECT max(t1) / 10.0 FROM tail
        UNION ALL SELECT max((SELECT max(t) * 1000.0 FROM rollup WHERE level = 10 AND channel = c.id)) FROM channel c)`,
    ).get() as { t: number | null }
    return newest.t
  }

  // --- at the start --------------------------------------------------------------

  #readNames(): void {
    const rows = prepared(this.#db, 'SELECT id, name FROM channel').all() as { id: number; name: string }[]
    for (const { id, name } of rows) this.#channels.set(name, id)
  }

  #takeUpTail(): void {
    const rows = prepared(this.#db, 'SELECT n, data FROM tail ORDER BY id').all() as { n: number; data: Uint8Array }[]
    for (const { n, data } of rows) {
      try {
        for (const column of decodeBlock(data)) this.#hold(column)
      } catch {
        this.#lost += n
      }
    }
  }
}

function mkdirFor(path: string): void {
  mkdirSync(dirname(path), { recursive: true, mode: 0o700 })
}

/** Size of the store with what is not yet folded into it; null when it cannot be told. */
function bytesOf(path: string): number | null {
  try {
    return [path, `${path}-wal`].reduce((sum, one) => sum + (statSync(one, { throwIfNoEntry: false })?.size ?? 0), 0)
  } catch {
    return null
  }
}

/** Does what somebody waits for: a failure carries the code that he is told. */
function orSaid(act: () => unknown): void {
  try {
    act()
  } catch (error) {
    const code = faultOf(error) === 'full' ? 'EVP_STORE_FULL' : 'EVP_STORE_WRITE'
    const message = error instanceof Error ? error.message : String(error)
    throw new EvenpullError(code, `the store cannot be written (${message})`, { cause: error })
  }
}
