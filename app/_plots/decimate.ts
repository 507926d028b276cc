import { qualityFromByte, qualityOf } from '../../shared/quality.ts'
import { allowedMs, type GapRule } from './gap-rule.ts'

/** Rows of one zone, ascending in time: the ring itself, or a copy of it that stands still. */
export interface RowSource {
  readonly length: number
  timeAt(i: number): number
  indexAtOrAfter(tMs: number): number
  times(): Float64Array
  /** Values; of an envelope row its lowest. Meaningless where the quality is bad. */
  values(column: number): Float32Array
  /** Equal to `values`, but for an envelope row its highest. */
  maxima(column: number): Float32Array
  qualities(column: number): Uint8Array
  /** 1 where a row stands for several samples. */
  envelopes(): Uint8Array
}

/** What one column did within one bucket. `lo`, `hi` and `sum` are over its good and uncertain samples. */
export interface ColumnCell {
  drawable: number
  bad: number
  lo: number
  hi: number
  sum: number
  /** A row stood for several samples: lowest and highest are known, the mean is not. */
  hasEnvelope: boolean
  /** Quality bytes of the newest uncertain and the newest bad sample in it; 0 when there is none. */
  uncertainByte: number
  badByte: number
}

/** One bucket of absolute time that holds at least one row. */
export interface Cell {
  readonly bucket: number
  readonly firstMs: number
  lastMs: number
  rows: number
  /** No sample arrived for longer than the gap rule allows, before this bucket or within it. */
  readonly holeBefore: boolean
  holeInside: boolean
  readonly columns: readonly ColumnCell[]
}

export interface DecimateOptions {
  /** Which columns of the source, in the order of the cells' columns. */
  readonly columns: readonly number[]
  /** Width of a bucket; edges are whole multiples of it since the epoch, so that they never move. */
  readonly bucketMs: number
  readonly gaps: GapRule
}

/** Buckets left of the view are forgotten this many at a time. */
const FORGET_STRIDE = 256

/** Quality byte → drawn or not: good and uncertain are drawn, bad never is. */
const IS_DRAWN = Uint8Array.from({ length: 256 }, (_, byte) => (qualityOf(qualityFromByte(byte)) === 'bad' ? 0 : 1))

/**
 * Minimum, maximum and mean of every column in buckets of absolute time, kept up to date at O(1) a
 * new row. A bucket is about one pixel wide; because its edges are fixed in time, a finished bucket
 * never changes and the picture does not shimmer as it scrolls.
 */
export class Decimator {
  readonly options: DecimateOptions
  #cells: Cell[] = []
  #fromMs = Number.NaN
  #lastMs = Number.NaN
  #lastWasEnvelope = false
  #rows = 0

  /** @throws RangeError when the bucket has no width. */
  constructor(options: DecimateOptions) {
    if (!(options.bucketMs > 0)) throw new RangeError(`bucketMs ${options.bucketMs}: expected more than 0`)
    this.options = options
  }

  /** Buckets that hold rows, ascending. */
  get cells(): readonly Cell[] {
    return this.#cells
  }

  /**
   * Brings the buckets up to the newest row of `source`, from the bucket that holds `fromMs` on.
   * Only new rows are read, unless `fromMs` went back or older rows were filled in meanwhile.
   */
  update(source: RowSource, fromMs: number): void {
    const { bucketMs } = this.options
    const startMs = Math.floor(fromMs / bucketMs) * bucketMs
    if (!this.#continues(source, startMs)) this.#restart(startMs)
    else this.#forgetBefore(source, startMs)
    const next = this.#rows === 0 ? source.indexAtOrAfter(startMs) : source.indexAtOrAfter(this.#lastMs) + 1
    this.#read(source, next)
  }

  /** True when every row read is still there or fell out at the old end, and none came between. */
  #continues(source: RowSource, startMs: number): boolean {
    if (this.#rows === 0 || startMs < this.#fromMs) return false
    const last = source.indexAtOrAfter(this.#lastMs)
    if (source.timeAt(last) !== this.#lastMs) return false
    const oldestMs = source.timeAt(0)
    let expected = this.#rows
    let firstKeptMs = this.#cells[0]?.firstMs ?? 0
    for (const cell of this.#cells) {
      firstKeptMs = cell.firstMs
      if (cell.firstMs >= oldestMs) break
      expected -= cell.rows
    }
    const first = source.indexAtOrAfter(oldestMs < firstKeptMs ? this.#fromMs : firstKeptMs)
    return expected > 0 && source.timeAt(first) === firstKeptMs && last - first + 1 === expected
  }

  #restart(startMs: number): void {
    this.#cells = []
    this.#rows = 0
    this.#fromMs = startMs
    this.#lastMs = Number.NaN
    this.#lastWasEnvelope = false
  }

  /** Lets go of buckets before the view, in strides, so that a row stays O(1). */
  #forgetBefore(source: RowSource, startMs: number): void {
    const oldestMs = Math.max(startMs, source.timeAt(0))
    const stale = this.#cells.findIndex((cell) => cell.lastMs >= oldestMs)
    if (stale < FORGET_STRIDE) return
    for (const cell of this.#cells.splice(0, stale)) this.#rows -= cell.rows
    this.#fromMs = startMs
  }

  #read(source: RowSource, start: number): void {
    const { columns, bucketMs, gaps } = this.options
    const times = source.times()
    const envelopes = source.envelopes()
    const lows = columns.map((c) => source.values(c))
    const highs = columns.map((c) => source.maxima(c))
    const qualities = columns.map((c) => source.qualities(c))
    let cell = this.#cells.at(-1)
    for (let i = start; i < times.length; i++) {
      const t = times[i] ?? 0
      const isEnvelope = envelopes[i] === 1
      const isHole = t - this.#lastMs > allowedMs(gaps, isEnvelope || this.#lastWasEnvelope)
      const bucket = Math.floor(t / bucketMs)
      if (cell === undefined || cell.bucket !== bucket) {
        cell = newCell(bucket, t, isHole, columns.length)
        this.#cells.push(cell)
      } else if (isHole) cell.holeInside = true
      cell.lastMs = t
      cell.rows++
      for (let c = 0; c < columns.length; c++) {
        const column = cell.columns[c]
        if (column === undefined) continue
        addSample(column, lows[c]?.[i] ?? 0, highs[c]?.[i] ?? 0, qualities[c]?.[i] ?? 255, isEnvelope)
      }
      this.#lastMs = t
      this.#lastWasEnvelope = isEnvelope
      this.#rows++
    }
  }
}

function newCell(bucket: number, t: number, holeBefore: boolean, columns: number): Cell {
  return {
    bucket,
    firstMs: t,
    lastMs: t,
    rows: 0,
    holeBefore,
    holeInside: false,
    columns: Array.from({ length: columns }, emptyColumn),
  }
}

function emptyColumn(): ColumnCell {
  return {
    drawable: 0,
    bad: 0,
    lo: Number.POSITIVE_INFINITY,
    hi: Number.NEGATIVE_INFINITY,
    sum: 0,
    hasEnvelope: false,
    uncertainByte: 0,
    badByte: 0,
  }
}

function addSample(cell: ColumnCell, low: number, high: number, byte: number, isEnvelope: boolean): void {
  if (IS_DRAWN[byte] !== 1 || !Number.isFinite(low) || !Number.isFinite(high)) {
    cell.bad++
    cell.badByte = byte
    return
  }
  cell.drawable++
  if (byte !== 0) cell.uncertainByte = byte
  if (low < cell.lo) cell.lo = low
  if (high > cell.hi) cell.hi = high
  cell.sum += low
  if (isEnvelope) cell.hasEnvelope = true
}
