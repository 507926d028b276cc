import { mkdirSync } from 'node:fs'
import { dirname } from 'node:path'
import { type ChannelColumn, decodeBlock, encodeBlock } from '../../lib/store-codec/block.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import { ChannelNumbers } from './channel-numbers.ts'
import { insertChunks } from './chunks.ts'
import { type Database, faultOf, prepared, transaction } from './driver.ts'
import { HeldSamples } from './held-samples.ts'
import { lastEventIdOf, newestTimeMs } from './newest-in-store.ts'
import { type OpenedStore, openStore } from './open-store.ts'
import { protectRange, unprotectRange } from './protected-ranges.ts'
import { RECOVERED } from './recovered.ts'
import { deleteBatch, type KeptKindFacts, keptFacts } from './retention.ts'
import { revisionInForce } from './revision-in-force.ts'
import type { RevisionScales } from './revision-scales.ts'
import { RollUpWriter } from './roll-up-writer.ts'
import { bytesOf, freeBytesOf } from './store-disk.ts'
import { appendOutbox, insertEvents, insertMinutes, type NamedMinute, putDocument, trimOutbox } from './stored-rows.ts'
import type {
  Found,
  NamedColumn,
  OutboxRow,
  WriterLimits,
  WriterOptions,
  WriterState,
  WriterStatus,
} from './writer-facts.ts'

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
  readonly #numbers: ChannelNumbers
  readonly #rollUps: RollUpWriter
  readonly #insertTail: ReturnType<Database['prepare']>
  readonly #held = new HeldSamples()
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
    mkdirSync(dirname(options.path), { recursive: true, mode: 0o700 })
    this.#store = openStore(options.path, options.nowMs, options.isBroken ?? false)
    this.#insertTail = prepared(this.#db, 'INSERT INTO tail (t0, t1, n, data) VALUES (?, ?, ?, ?)')
    this.#numbers = new ChannelNumbers(this.#db)
    this.#rollUps = new RollUpWriter(this.#db, this.#numbers)
    this.#takeUpTail()
    this.#lookAtDisk()
  }

  get #db(): Database {
    return this.#store.db
  }

  get found(): Found {
    const { setAside } = this.#store
    return { newestMs: newestTimeMs(this.#db), lastEventId: lastEventIdOf(this.#db), setAside }
  }

  /** A revision of the config came into force: what comes from now on is read by its scales. */
  configure(revision: string, timeMs: number, scales: RevisionScales): void {
    this.#revision = revisionInForce(this.#db, revision, timeMs, scales)
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
    for (const column of taken) this.#held.hold(column)
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

  /** Deletes a batch of what is beyond its limits, so many rows of each kind; returns whether there is more. */
  retain(nowMs: number, mostRows: number): boolean {
    return deleteBatch(this.#db, this.#options.keep, nowMs, mostRows)
  }

  kept(): KeptKindFacts[] {
    return keptFacts(this.#db)
  }

  // --- rows that do not wait for a seal ------------------------------------------

  /** See `protectRange`. */
  protect(name: string, zone: string, fromMs: number, toMs: number): void {
    protectRange(this.#db, this.#numbers, name, { zone, fromMs, toMs })
  }

  unprotect(name: string): void {
    unprotectRange(this.#db, name)
  }

  minutes(rows: readonly NamedMinute[]): void {
    insertMinutes(this.#db, rows)
  }

  /** See `insertEvents`. */
  events(events: readonly StoredEvent[]): void {
    insertEvents(this.#db, events)
  }

  /** See `putDocument`. */
  putDocument(kind: string, id: string, timeMs: number, body: string): void {
    putDocument(this.#db, kind, id, timeMs, body)
  }

  /** See `appendOutbox`. */
  appendOutbox(rows: readonly OutboxRow[]): number {
    return appendOutbox(this.#db, rows)
  }

  /** See `trimOutbox`. */
  trimOutbox(seq: number): void {
    trimOutbox(this.#db, seq)
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
    return { channel: this.#numbers.of(channel), revision: this.#revision, ticks, raws, codes }
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
    const columns = this.#held.columns()
    transaction(this.#db, () => {
      if (withSamples) insertChunks(this.#db, columns)
      for (const column of columns) this.#rollUps.write(column)
      this.#db.exec('DELETE FROM tail')
    })
    if (!withSamples) this.#lost += columns.reduce((sum, { ticks }) => sum + ticks.length, 0)
    this.#held.clear()
    this.#unwritten = []
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
    const held = this.#held.count
    if (held <= MOST_HELD) return
    const lostBefore = this.#lost
    this.#held.clear()
    this.#unwritten = []
    try {
      this.#takeUpTail()
    } catch {
      // A disk that cannot be read either.
    }
    this.#lost = lostBefore + held - this.#held.count
  }

  #lookAtDisk(): void {
    const { freeBytes, path } = this.#options
    this.#disk = { freeBytes: freeBytes?.() ?? freeBytesOf(this.#db, path), bytes: bytesOf(path) }
  }

  #takeUpTail(): void {
    const rows = prepared(this.#db, 'SELECT n, data FROM tail ORDER BY id').all() as { n: number; data: Uint8Array }[]
    for (const { n, data } of rows) {
      try {
        for (const column of decodeBlock(data)) this.#held.hold(column)
      } catch {
        this.#lost += n
      }
    }
  }
}
