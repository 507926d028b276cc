import type { HistorySeries } from '../../../shared/schemas/history.ts'
import type { Cell, ColumnCell } from '../../_plots/decimate.ts'
import type { LinearMap, Picture, PictureColumn } from '../../_plots/picture.ts'
import { firstEndingAfter, type HistoryRows, type RowsLine } from './history-rows.ts'

export interface PictureLine {
  readonly series: HistorySeries
  readonly map: LinearMap
}

/** How far apart good samples of one line may be, ms: one number for every line, or each its own. */
export interface Holes {
  /** Between rows that are buckets, or between samples at the zone's rate. */
  readonly rowMs: number
  /** From what is kept to the newest row: what was just measured is still on its way to the store. */
  readonly endMs: number
}

/**
 * The rows that touch `fromMs`–`toMs` as the plot draws them, each line in its unit. No line runs over a bucket
 * without a good sample, nor over a hole between rows. At full rate the channels of a zone need not be read at one
 * time: there a row without a value of a line is none of its samples, and it takes a hole to break it. A row that was measured and whose figure says nothing is blank, and no gap.
 */
export function bandPicture(
  rows: HistoryRows,
  lines: readonly PictureLine[],
  fromMs: number,
  toMs: number,
  holes: Holes,
): Picture {
  const sources = lines.map(({ series, map }): Source => {
    const line = rows.lines.get(series)
    const isSamples = rows.bucketMs === 0 && line !== undefined
    return { line, map, bridgeMs: isSamples ? Math.max(holes.rowMs, sampleHoleMs(rows, line)) : 0 }
  })
  const picture = new PictureRows(rows, sources)
  const holeMs = Math.max(holes.rowMs, ...sources.map(({ bridgeMs }) => bridgeMs))
  // One row more on either side, so that the line runs to the edges.
  // A bucket that ends as recording begins holds nothing; a sample at that time is the first one.
  const oldest = firstEndingAfter(rows, (rows.keptFromMs ?? rows.toMs) - (rows.bucketMs === 0 ? 1 : 0))
  const start = Math.max(oldest, firstEndingAfter(rows, fromMs) - 1)
  const { startsMs, bucketMs } = rows
  let previousEndMs =
    start > oldest ? (startsMs[start - 1] ?? 0) + bucketMs : Math.max(rows.fromMs, rows.keptFromMs ?? rows.toMs)
  let isPastEnd = false
  const end = endOfData(rows)
  for (let i = start; i < end && !isPastEnd; i++) {
    const startMs = startsMs[i] ?? 0
    isPastEnd = startMs > toMs
    if (startMs - previousEndMs > (i === oldest ? holes.endMs : holeMs)) picture.breakBetween(previousEndMs, startMs)
    picture.add(i)
    previousEndMs = startMs + bucketMs
  }
  const endMs = Math.min(rows.toMs, toMs)
  if (!isPastEnd && endMs - previousEndMs > holes.endMs) picture.breakBetween(previousEndMs, endMs)
  return picture
}

/** Rows after the last one with a good sample are no rows: what was just measured is still on its way. */
function endOfData({ startsMs, lines }: HistoryRows): number {
  let end = 0
  for (const { n } of lines.values()) {
    let own = startsMs.length
    while (own > end && (n[own - 1] ?? 0) === 0) own--
    end = Math.max(end, own)
  }
  return end
}

interface Source {
  readonly line: RowsLine | undefined
  readonly map: LinearMap
  /** Longest time between two good samples that the line runs over; 0 for buckets. */
  readonly bridgeMs: number
}

/** A picture that grows row by row. */
class PictureRows implements Picture {
  readonly x: number[] = []
  readonly cells: (Cell | null)[] = []
  readonly columns: readonly PictureColumn[]
  readonly #rows: HistoryRows
  readonly #sources: readonly Source[]

  constructor(rows: HistoryRows, sources: readonly Source[]) {
    this.#rows = rows
    this.#sources = sources
    this.columns = sources.map((): PictureColumn => ({ mean: [], lo: [], hi: [] }))
  }

  breakBetween(fromMs: number, toMs: number): void {
    this.x.push((fromMs + toMs) / 2)
    this.cells.push(
      cell(
        fromMs,
        toMs,
        this.columns.map(() => NOTHING),
      ),
    )
    for (const column of this.columns) push(column, null, null, null)
  }

  add(i: number): void {
    const { startsMs, bucketMs } = this.#rows
    const startMs = startsMs[i] ?? 0
    this.x.push(startMs + bucketMs / 2)
    const own = this.#sources.map((source, c) => this.#addTo(this.columns[c], source, i))
    this.cells.push(cell(startMs, startMs + bucketMs, own))
  }

  #addTo(column: PictureColumn | undefined, { line, map, bridgeMs }: Source, i: number): ColumnCell {
    if (column === undefined || line === undefined) return NOTHING
    if (!Number.isNaN(line.min[i] ?? Number.NaN)) {
      pushRow(column, line, i, map)
      return { ...NOTHING, drawable: line.n[i] ?? 0 }
    }
    if ((line.n[i] ?? 0) > 0) {
      push(column, null, null, null)
      return { ...NOTHING, drawable: 1 }
    }
    const between = bridgeMs > 0 ? onTheWay(this.#rows.startsMs, line.mean, i, bridgeMs) : null
    const value = between === null ? null : between * map.factor + map.offset
    push(column, value, value, value)
    return value === null ? NOTHING : { ...NOTHING, drawable: 1 }
  }
}

/** Where the straight line between the good samples about row `i` passes; null where they are too far apart. */
function onTheWay(startsMs: Float64Array, mean: Float64Array, i: number, bridgeMs: number): number | null {
  const t = startsMs[i] ?? 0
  const isFar = (k: number) => Math.abs((startsMs[k] ?? Number.POSITIVE_INFINITY) - t) > bridgeMs
  const isGood = (k: number) => !Number.isNaN(mean[k] ?? Number.NaN)
  let [a, b] = [i - 1, i + 1]
  while (a >= 0 && !isGood(a) && !isFar(a)) a--
  while (b < startsMs.length && !isGood(b) && !isFar(b)) b++
  const [t0, t1, v0, v1] = [startsMs[a], startsMs[b], mean[a], mean[b]]
  if (t0 === undefined || t1 === undefined || v0 === undefined || v1 === undefined) return null
  if (Number.isNaN(v0 + v1) || t1 - t0 > bridgeMs) return null
  return v0 + ((v1 - v0) * (t - t0)) / (t1 - t0)
}

const known = new WeakMap<RowsLine, number>()
const MISSED_PERIODS = 3
const LOOKED_AT = 2000
/** Fewer distances tell nothing of what is usual. */
const LEAST_TO_TELL = 3

/** Three times the usual distance between good samples of a line: a slow channel beside a fast one has no gaps of its own. */
export function sampleHoleMs({ startsMs }: HistoryRows, line: RowsLine): number {
  const before = known.get(line)
  if (before !== undefined) return before
  const apart: number[] = []
  let last = Number.NaN
  for (let i = 0; i < startsMs.length && apart.length < LOOKED_AT; i++) {
    if (Number.isNaN(line.mean[i] ?? Number.NaN)) continue
    const t = startsMs[i] ?? 0
    if (!Number.isNaN(last)) apart.push(t - last)
    last = t
  }
  apart.sort((a, b) => a - b)
  const usual = apart.length < LEAST_TO_TELL ? 0 : (apart[Math.floor(apart.length / 4)] ?? 0)
  const hole = MISSED_PERIODS * usual
  known.set(line, hole)
  return hole
}

function push(column: PictureColumn, mean: number | null, lo: number | null, hi: number | null): void {
  column.mean.push(mean)
  column.lo.push(lo)
  column.hi.push(hi)
}

function pushRow(column: PictureColumn, line: RowsLine, i: number, { factor, offset }: LinearMap): void {
  const mean = line.mean[i] ?? Number.NaN
  const [min, max] = [line.min[i] ?? Number.NaN, line.max[i] ?? Number.NaN]
  // A cell that reads pull as push turns lowest and highest round.
  const [lo, hi] = factor < 0 ? [max, min] : [min, max]
  push(column, Number.isNaN(mean) ? null : mean * factor + offset, lo * factor + offset, hi * factor + offset)
}

const NOTHING: ColumnCell = {
  drawable: 0,
  bad: 0,
  lo: Number.NaN,
  hi: Number.NaN,
  sum: 0,
  hasEnvelope: false,
  uncertainByte: 0,
  badByte: 0,
}

const cell = (firstMs: number, lastMs: number, columns: readonly ColumnCell[]): Cell => ({
  bucket: firstMs,
  firstMs,
  lastMs,
  rows: 1,
  holeBefore: false,
  holeInside: false,
  columns,
})
