import { type Column, decodeColumn, encodeColumn } from './column.ts'
import { decodeTimes, encodeTimes } from './times.ts'

/** A channel's samples of some stretch of time. */
export interface ChannelColumn extends Column {
  /** Number of the channel, and of the config revision its numbers were read under. */
  readonly channel: number
  readonly revision: number
  /** Ascending, in ticks. */
  readonly ticks: Float64Array
}

/** Columns of one device share their times: they are written once. */
export interface SharedTimes {
  readonly ticks: Float64Array
  readonly columns: readonly ChannelColumn[]
}

export function groupByTimes(columns: readonly ChannelColumn[]): SharedTimes[] {
  const groups: { ticks: Float64Array; columns: ChannelColumn[] }[] = []
  for (const column of columns) {
    const group = groups.find(({ ticks }) => isSame(ticks, column.ticks))
    if (group === undefined) groups.push({ ticks: column.ticks, columns: [column] })
    else group.columns.push(column)
  }
  return groups
}

function isSame(a: Float64Array, b: Float64Array): boolean {
  if (a === b) return true
  if (a.length !== b.length || a[0] !== b[0]) return false
  for (let i = 1; i < a.length; i++) if (a[i] !== b[i]) return false
  return true
}

/**
 * Columns of any channels as one row of bytes. Whole numbers of 32 bits, little-endian: groups; for each samples, bytes
 * of times, the times, columns; for each channel, revision, bytes, the column.
 */
export function encodeBlock(columns: readonly ChannelColumn[]): Uint8Array {
  const groups = groupByTimes(columns).map(({ ticks, columns: own }) => ({
    n: ticks.length,
    times: encodeTimes(ticks),
    columns: own.map((column) => ({ ...column, bytes: encodeColumn(column) })),
  }))
  const size = groups.reduce(
    (sum, { times, columns: own }) => sum + 12 + times.length + own.reduce((s, { bytes }) => s + 12 + bytes.length, 0),
    4,
  )
  const out = new BlockWriter(size)
  out.word(groups.length)
  for (const { n, times, columns: own } of groups) {
    out.word(n)
    out.bytes(times)
    out.word(own.length)
    for (const { channel, revision, bytes } of own) {
      out.word(channel)
      out.word(revision)
      out.bytes(bytes)
    }
  }
  return out.done()
}

/** Throws RangeError when the bytes are not a block. */
export function decodeBlock(bytes: Uint8Array): ChannelColumn[] {
  const reader = new BlockReader(bytes)
  const columns: ChannelColumn[] = []
  for (let groups = reader.word(); groups > 0; groups--) {
    const n = reader.word()
    const ticks = decodeTimes(reader.bytes(), n)
    for (let own = reader.word(); own > 0; own--) {
      const channel = reader.word()
      const revision = reader.word()
      columns.push({ channel, revision, ticks, ...decodeColumn(reader.bytes(), n) })
    }
  }
  return columns
}

class BlockWriter {
  readonly #bytes: Uint8Array
  readonly #view: DataView
  #at = 0

  constructor(size: number) {
    this.#bytes = new Uint8Array(size)
    this.#view = new DataView(this.#bytes.buffer)
  }

  word(value: number): void {
    this.#view.setUint32(this.#at, value, true)
    this.#at += 4
  }

  bytes(bytes: Uint8Array): void {
    this.word(bytes.length)
    this.#bytes.set(bytes, this.#at)
    this.#at += bytes.length
  }

  done(): Uint8Array {
    return this.#bytes
  }
}

class BlockReader {
  readonly #bytes: Uint8Array
  readonly #view: DataView
  #at = 0

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  }

  word(): number {
    const value = this.#view.getUint32(this.#at, true)
    this.#at += 4
    return value
  }

  bytes(): Uint8Array {
    const length = this.word()
    if (this.#at + length > this.#bytes.length) throw new RangeError('the bytes end too early')
    const bytes = this.#bytes.subarray(this.#at, this.#at + length)
    this.#at += length
    return bytes
  }
}
