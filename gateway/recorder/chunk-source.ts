import { type ChannelColumn, decodeBlock } from '../../lib/store-codec/block.ts'
import { decodeColumn } from '../../lib/store-codec/column.ts'
import { decodeTimes } from '../../lib/store-codec/times.ts'
import { CHUNK_SPAN_TICKS } from './chunks.ts'
import { sliceOf } from './column-buffer.ts'
import { type Database, iterated, prepared } from './driver.ts'

interface ChunkRow {
  readonly revision: number
  readonly n: number
  readonly axis: number
  readonly data: Uint8Array
}

/** Full-rate samples of a store at one moment: chunks, then what the tail holds. */
export class ChunkSource {
  readonly #db: Database
  readonly #axes = new Map<number, Float64Array>()
  #tail: readonly ChannelColumn[] | undefined

  constructor(db: Database) {
    this.#db = db
  }

  /** Columns of a channel in order of time, cut to `fromTick ≤ tick < toTick`. */
  *columns(channel: number, fromTick: number, toTick: number): Generator<ChannelColumn> {
    const rows = iterated<ChunkRow>(
      this.#db,
      `SELECT revision, n, axis, data FROM chunk
        WHERE channel = ? AND t0 >= ? AND t0 < ? AND t1 >= ? ORDER BY t0`,
      ...[channel, fromTick - CHUNK_SPAN_TICKS, toTick, fromTick],
    )
    for (const { revision, n, axis, data } of rows)
      yield cutTo({ channel, revision, ticks: this.#times(axis, n), ...decodeColumn(data, n) }, fromTick, toTick)
    yield* this.tail(channel, fromTick, toTick)
  }

  /** The same, of what is not in a chunk yet. */
  *tail(channel: number, fromTick: number, toTick: number): Generator<ChannelColumn> {
    for (const column of this.#tailColumns()) {
      if (column.channel !== channel) continue
      const own = cutTo(column, fromTick, toTick)
      if (own.ticks.length > 0) yield own
    }
  }

  /** Samples of a channel that its chunks hold in a range, without reading them. */
  count(channel: number, fromTick: number, toTick: number): number {
    const row = prepared(
      this.#db,
      'SELECT sum(n) AS n FROM chunk WHERE channel = ? AND t0 >= ? AND t0 < ? AND t1 >= ?',
    ).get(channel, fromTick - CHUNK_SPAN_TICKS, toTick, fromTick) as { n: number | null }
    return (row.n ?? 0) + this.#tailCount(channel, fromTick, toTick)
  }

  /** First and last tick of a channel; undefined when nothing is kept. */
  kept(channel: number): { readonly first: number; readonly last: number } | undefined {
    const row = prepared(
      this.#db,
      `SELECT (SELECT t0 FROM chunk WHERE channel = :channel ORDER BY t0 LIMIT 1) AS first,
        (SELECT max(t1) FROM (SELECT t1 FROM chunk WHERE channel = :channel ORDER BY t0 DESC LIMIT 8)) AS last`,
    ).get({ channel }) as { first: number | null; last: number | null }
    const tail = this.#tailColumns().filter((column) => column.channel === channel)
    const first = row.first ?? tail[0]?.ticks[0]
    const last = tail.at(-1)?.ticks.at(-1) ?? row.last
    return first === undefined || last === null || last === undefined ? undefined : { first, last }
  }

  /** Where the chunks of some channels begin and end, from a tick on. */
  spans(channels: readonly number[], fromTick: number, limit: number): { t0: number; t1: number; n: number }[] {
    return prepared(
      this.#db,
      `SELECT t0, t1, n FROM chunk WHERE channel IN (${channels.map(() => '?').join()})
        AND t0 >= ? AND t1 >= ? ORDER BY t0 LIMIT ?`,
    ).all(...channels, fromTick - CHUNK_SPAN_TICKS, fromTick, limit) as { t0: number; t1: number; n: number }[]
  }

  #tailCount(channel: number, fromTick: number, toTick: number): number {
    let count = 0
    for (const { ticks } of this.tail(channel, fromTick, toTick)) count += ticks.length
    return count
  }

  #times(axis: number, n: number): Float64Array {
    const known = this.#axes.get(axis)
    if (known !== undefined) return known
    const row = prepared(this.#db, 'SELECT data FROM axis WHERE id = ?').get(axis) as { data: Uint8Array } | undefined
    if (row === undefined) throw new RangeError(`chunk without its times (axis ${axis})`)
    const times = decodeTimes(row.data, n)
    this.#axes.set(axis, times)
    return times
  }

  #tailColumns(): readonly ChannelColumn[] {
    this.#tail ??= (prepared(this.#db, 'SELECT data FROM tail ORDER BY id').all() as { data: Uint8Array }[]).flatMap(
      ({ data }) => decodeBlock(data),
    )
    return this.#tail
  }
}

function cutTo(column: ChannelColumn, fromTick: number, toTick: number): ChannelColumn {
  const from = firstAtOrAfter(column.ticks, fromTick)
  const to = firstAtOrAfter(column.ticks, toTick)
  return from === 0 && to === column.ticks.length ? column : { ...column, ...sliceOf(column, from, to) }
}

function firstAtOrAfter(ticks: Float64Array, tick: number): number {
  let low = 0
  let high = ticks.length
  while (low < high) {
    const middle = (low + high) >>> 1
    if ((ticks[middle] ?? 0) < tick) low = middle + 1
    else high = middle
  }
  return low
}
