import { type ChannelColumn, groupByTimes } from '../../lib/store-codec/block.ts'
import { encodeColumn } from '../../lib/store-codec/column.ts'
import { encodeTimes, TICKS_PER_MS } from '../../lib/store-codec/times.ts'
import { sliceOf } from './column-buffer.ts'
import { type Database, prepared } from './driver.ts'
import { addSize } from './sizes.ts'

/** No chunk spans more than this much time on absolute stretches, nor more samples: both bound what a query must look at. */
export const CHUNK_SPAN_TICKS = 600_000 * TICKS_PER_MS
const MOST_SAMPLES = 65_536

/** Writes columns as chunks, the times that channels share once. Part of the caller's transaction. */
export function insertChunks(db: Database, columns: readonly ChannelColumn[]): void {
  let bytes = 0
  const counted = (data: Uint8Array) => {
    bytes += data.length
    return data
  }
  const axis = prepared(db, 'INSERT INTO axis (t0, t1, n, data) VALUES (?, ?, ?, ?)')
  const chunk = prepared(
    db,
    'INSERT INTO chunk (channel, t0, t1, axis, revision, n, data) VALUES (?, ?, ?, ?, ?, ?, ?)',
  )
  for (const { ticks, columns: own } of groupByTimes(columns.flatMap(cut))) {
    const n = ticks.length
    const [t0, t1] = [ticks[0] ?? 0, ticks[n - 1] ?? 0]
    const { lastInsertRowid } = axis.run(t0, t1, n, counted(encodeTimes(ticks)))
    for (const column of own)
      chunk.run(column.channel, t0, t1, lastInsertRowid, column.revision, n, counted(encodeColumn(column)))
  }
  addSize(db, 'samples', bytes)
}

/** A column in pieces that are no longer than a chunk may be. */
function cut(column: ChannelColumn): ChannelColumn[] {
  const { ticks } = column
  const pieces: ChannelColumn[] = []
  const stretch = (i: number) => Math.floor((ticks[i] ?? 0) / CHUNK_SPAN_TICKS)
  for (let from = 0; from < ticks.length; ) {
    let to = from + 1
    while (to < ticks.length && to - from < MOST_SAMPLES && stretch(to) === stretch(from)) to++
    pieces.push({ ...column, ...sliceOf(column, from, to) })
    from = to
  }
  return pieces
}
