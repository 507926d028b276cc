import {
  batchBytes,
  encodeSampleBatch,
  HEADER_BYTES,
  KIND_ENVELOPE,
  KIND_SAMPLES,
} from '../../shared/protocol/sample-batch.ts'
import { BACKLOG_SECONDS } from '../../shared/protocol/version.ts'
import { qualityByte, qualityOf } from '../../shared/quality.ts'
import { AUX_ROLES, type AuxRole, type Sample, type Side, type ZoneFrame } from '../../shared/sample.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import type { Clock } from '../clock.ts'
import { envelopeOf } from './envelope.ts'
import { type RingPosition, type RowBlock, SampleRing } from './sample-ring.ts'

/** A batch as it goes on the wire, with the numbers that say what is in it. */
export interface EncodedBatch {
  readonly firstSeq: number
  readonly seq: number
  /** Row after its last one. */
  readonly endRow: number
  readonly bytes: Uint8Array
}

/** Rows that may wait for a flush: a replay faster than time must not outrun the ring. */
export const MAX_PENDING_ROWS = 512
/** Size aimed at for a chunk of backlog; well under what a slow client may have buffered. */
export const CHUNK_BYTES = 16 * 1024
/** Frames may come a little faster than asked for. */
const RATE_MARGIN = 1.05
const ENVELOPE_BUCKET_MS = 100
/** Buckets widen beyond this many, so that an envelope stays one small message. */
const MAX_ENVELOPE_ROWS = 1000

const MISSING = qualityByte('missing')
type Column = ZoneInfo['columns'][number]
const AUX_COLUMNS: ReadonlySet<Column> = new Set<AuxRole>(AUX_ROLES)

/** Rows that hold BACKLOG_SECONDS at `rateHz`, and never so few that a burst overruns them. */
export function ringCapacity(rateHz: number): number {
  return Math.max(2 * MAX_PENDING_ROWS, Math.ceil(BACKLOG_SECONDS * rateHz * RATE_MARGIN))
}

/** One zone on its way to the clients: its ring, its batch numbers and its encoder. */
export class ZoneStream {
  #info: ZoneInfo
  #index: number
  #ring: SampleRing
  readonly #clock: Clock
  #values: Float64Array
  #qualities: Uint8Array

  /** `index` is the zone's place in hello.zones.zones; `from` goes on with the numbers of a zone of this id before. */
  constructor(info: ZoneInfo, index: number, clock: Clock, from?: RingPosition) {
    this.#info = info
    this.#index = index
    this.#clock = clock
    this.#ring = new SampleRing(info.columns.length, ringCapacity(info.rateHz), from)
    this.#values = new Float64Array(info.columns.length)
    this.#qualities = new Uint8Array(info.columns.length)
  }

  get id(): string {
    return this.#info.id
  }
  get lastSeq(): number {
    return this.#ring.lastSeq
  }
  get oldestSeq(): number {
    return this.#ring.oldestSeq
  }
  get pendingRows(): number {
    return this.#ring.pendingRows
  }
  /** Where a zone that takes this one's place goes on counting; nothing may be pending. */
  get position(): RingPosition {
    return { seq: this.#ring.lastSeq, row: this.endRow }
  }
  /** Row after the newest numbered one. */
  get endRow(): number {
    return this.#ring.endRow(this.#ring.lastSeq)
  }

  /**
   * Takes over a new config; nothing may be pending. Other columns empty the ring (old rows would be
   * read under new names), another rate re-sizes it; the numbers go on in both cases.
   */
  reconfigure(info: ZoneInfo, index: number): void {
    const sameColumns = info.columns.join() === this.#info.columns.join()
    const capacity = ringCapacity(info.rateHz)
    if (!sameColumns) this.#ring = new SampleRing(info.columns.length, capacity, this.position)
    else if (capacity !== this.#ring.capacity) this.#ring = this.#ring.resized(capacity)
    this.#info = info
    this.#index = index
    this.#values = new Float64Array(info.columns.length)
    this.#qualities = new Uint8Array(info.columns.length)
  }

  /** Appends a frame as a row: a side without a usable value is NaN with the reason in its quality byte. */
  push(frame: ZoneFrame): void {
    for (let c = 0; c < this.#info.columns.length; c++) {
      const sample = sampleOf(frame, this.#info.columns[c])
      const usable = sample !== undefined && qualityOf(sample.code) !== 'bad'
      this.#values[c] = usable ? (sample.value ?? Number.NaN) : Number.NaN
      this.#qualities[c] = sample === undefined ? MISSING : qualityByte(sample.code)
    }
    this.#ring.push(this.#clock.toEpoch(frame.tMs), this.#values, this.#qualities)
  }

  /** A copy of the rows kept that are not older than `fromMs` (epoch), pending ones too. */
  since(fromMs: number): RowBlock & { readonly columns: ZoneInfo['columns'] } {
    return { columns: this.#info.columns, ...this.#ring.read(this.#ring.rowFrom(fromMs), this.#ring.rows) }
  }

  /** Numbers and encodes what is pending, once for all clients; null when nothing is. */
  flush(): EncodedBatch | null {
    const seq = this.#ring.seal()
    return seq === null ? null : this.#encode(seq, seq, false)
  }

  /** First batch of the backlog: the oldest whole one not older than BACKLOG_SECONDS before the newest. */
  backlogStart(): number {
    let low = this.#ring.oldestSeq
    let high = this.#ring.lastSeq
    if (low > high) return low
    const oldestMs = this.#ring.timeAt(this.endRow - 1) - BACKLOG_SECONDS * 1000
    while (low < high) {
      const middle = (low + high) >>> 1
      if (this.#ring.timeAt(this.#ring.startRow(middle)) < oldestMs) low = middle + 1
      else high = middle
    }
    return low
  }

  /** First row of a batch still kept, or of the next one to come. */
  startRow(seq: number): number {
    return this.#ring.startRow(seq)
  }

  /**
   * As many whole batches from `fromSeq` up to `toSeq` as fit a chunk (at least one), flagged backlog.
   * `oldestSeq ≤ fromSeq ≤ toSeq ≤ lastSeq`.
   */
  chunk(fromSeq: number, toSeq: number): EncodedBatch {
    const rowBytes = batchBytes(1, this.#info.columns.length, KIND_SAMPLES) - HEADER_BYTES
    const lastRow = this.#ring.startRow(fromSeq) + Math.floor((CHUNK_BYTES - HEADER_BYTES) / rowBytes)
    let seq = fromSeq
    while (seq < toSeq && this.#ring.endRow(seq + 1) <= lastRow) seq += 1
    return this.#encode(fromSeq, seq, true)
  }

  /** The envelope of batches `fromSeq`–`toSeq`, of which at least the last must still be kept. */
  envelope(fromSeq: number, toSeq: number): EncodedBatch {
    const startRow = this.#ring.startRow(Math.max(fromSeq, this.#ring.oldestSeq))
    const endRow = this.#ring.endRow(toSeq)
    const block = this.#ring.read(startRow, endRow)
    const spanMs = this.#ring.timeAt(endRow - 1) - this.#ring.timeAt(startRow)
    const envelope = envelopeOf(block, Math.max(ENVELOPE_BUCKET_MS, spanMs / MAX_ENVELOPE_ROWS))
    const buffer = encodeSampleBatch({
      kind: KIND_ENVELOPE,
      backlog: false,
      zone: this.#index,
      seq: toSeq,
      firstSeq: fromSeq,
      samples: endRow - startRow,
      timesMs: envelope.timesMs,
      values: envelope.minima,
      maxima: envelope.maxima,
      qualities: envelope.qualities,
    })
    return { firstSeq: fromSeq, seq: toSeq, endRow, bytes: new Uint8Array(buffer) }
  }

  #encode(firstSeq: number, seq: number, backlog: boolean): EncodedBatch {
    const endRow = this.#ring.endRow(seq)
    const block = this.#ring.read(this.#ring.startRow(firstSeq), endRow)
    const samples = block.timesMs.length
    const buffer = encodeSampleBatch({
      kind: KIND_SAMPLES,
      backlog,
      zone: this.#index,
      seq,
      firstSeq,
      samples,
      ...block,
    })
    return { firstSeq, seq, endRow, bytes: new Uint8Array(buffer) }
  }
}

function sampleOf(frame: ZoneFrame, column: Column | undefined): Sample | undefined {
  if (column === undefined) return undefined
  return AUX_COLUMNS.has(column) ? frame.aux[column as AuxRole] : frame.sides[column as Side]
}
