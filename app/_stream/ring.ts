/**
 * The newest minutes of one zone, as columns, ready to draw.
 *
 * Rows ascend strictly in time. Storage is twice the capacity: new rows are written behind the old
 * ones and only when the end is reached are the kept rows moved to the front (`copyWithin`), so that
 * every column is one contiguous view at all times and a row costs O(1).
 */
export interface RingBatch {
  /** Epoch ms of each row, ascending. */
  readonly timesMs: Float64Array
  /** One array a column; for an envelope the minima. NaN where the sample is bad. */
  readonly values: readonly Float32Array[]
  /** The maxima of an envelope; absent for samples. */
  readonly maxima?: readonly Float32Array[]
  readonly qualities: readonly Uint8Array[]
}

/**
 * Two rows nearer than this are the same sample sent twice: times travel as float32 offsets, which
 * are good to 0.03 ms over ten minutes, and no device is polled faster than once a millisecond.
 */
const SAME_INSTANT_MS = 0.1

interface Columns {
  readonly time: Float64Array
  readonly values: readonly Float32Array[]
  readonly maxima: readonly Float32Array[]
  readonly qualities: readonly Uint8Array[]
  /** 1 where the row stands for a bucket of samples. */
  readonly envelope: Uint8Array
}

function allocate(columns: number, rows: number): Columns {
  const floats = () => Array.from({ length: columns }, () => new Float32Array(rows))
  return {
    time: new Float64Array(rows),
    values: floats(),
    maxima: floats(),
    qualities: Array.from({ length: columns }, () => new Uint8Array(rows)),
    envelope: new Uint8Array(rows),
  }
}

function everyArray(c: Columns): (Float64Array | Float32Array | Uint8Array)[] {
  return [c.time, ...c.values, ...c.maxima, ...c.qualities, c.envelope]
}

function columnAt<T>(list: readonly T[], column: number): T {
  const found = list[column]
  if (found === undefined) throw new RangeError(`column ${column} does not exist: there are ${list.length}`)
  return found
}

export class ZoneRing {
  readonly columns: readonly string[]
  /** Most rows kept. */
  readonly capacity: number
  readonly #store: Columns
  #start = 0
  #end = 0
  #version = 0

  /** @throws RangeError when the capacity is not a whole number of at least 1. */
  constructor(columns: readonly string[], capacity: number) {
    if (!Number.isInteger(capacity) || capacity < 1) throw new RangeError(`capacity ${capacity}: expected 1 or more`)
    this.columns = columns
    this.capacity = capacity
    this.#store = allocate(columns.length, capacity * 2)
  }

  get length(): number {
    return this.#end - this.#start
  }

  /** Grows with every change: a drawer that remembers it knows whether to draw. */
  get version(): number {
    return this.#version
  }

  /** Index of a column by name, or -1. */
  columnOf(name: string): number {
    return this.columns.indexOf(name)
  }

  /** Epoch ms of row `i`; NaN outside the ring. */
  timeAt(i: number): number {
    if (i < 0 || i >= this.length) return Number.NaN
    return this.#store.time[this.#start + i] ?? Number.NaN
  }

  /** First row at or after `tMs`; `length` when all are older. */
  indexAtOrAfter(tMs: number): number {
    const { time } = this.#store
    let low = this.#start
    let high = this.#end
    while (low < high) {
      const middle = (low + high) >>> 1
      if ((time[middle] ?? 0) < tMs) low = middle + 1
      else high = middle
    }
    return low - this.#start
  }

  /** Epoch ms of every row, ascending. A view: valid until the next push. */
  times(): Float64Array {
    return this.#store.time.subarray(this.#start, this.#end)
  }

  /** Values (of an envelope row: its lowest), NaN where bad. A view: valid until the next push. */
  values(column: number): Float32Array {
    return columnAt(this.#store.values, column).subarray(this.#start, this.#end)
  }

  /** Equal to `values`, but for an envelope row its highest. A view: valid until the next push. */
  maxima(column: number): Float32Array {
    return columnAt(this.#store.maxima, column).subarray(this.#start, this.#end)
  }

  /** Quality byte of every value. A view: valid until the next push. */
  qualities(column: number): Uint8Array {
    return columnAt(this.#store.qualities, column).subarray(this.#start, this.#end)
  }

  /** 1 where a row stands for several samples. A view: valid until the next push. */
  envelopes(): Uint8Array {
    return this.#store.envelope.subarray(this.#start, this.#end)
  }

  clear(): void {
    this.#start = 0
    this.#end = 0
    this.#version++
  }

  /**
   * Adds a batch where its times belong. Rows already held are not doubled; samples take the place of
   * the envelope rows between them. Returns false, and adds nothing, when the columns do not fit or
   * the times do not ascend.
   */
  push(batch: RingBatch): boolean {
    const rows = batch.timesMs.length
    if (batch.values.length !== this.columns.length || batch.qualities.length !== this.columns.length) return false
    if (rows === 0) return true
    if (!isAscending(batch.timesMs)) return false
    const first = batch.timesMs[0] ?? 0
    const isNewer = this.length === 0 || first > this.timeAt(this.length - 1) + SAME_INSTANT_MS
    const incoming = asColumns(batch)
    if (isNewer) this.#append(incoming, rows)
    else this.#merge(incoming, rows, first)
    this.#version++
    return true
  }

  #merge(incoming: Columns, rows: number, first: number): void {
    const from = this.indexAtOrAfter(first - SAME_INSTANT_MS)
    const tailRows = this.length - from
    const tail = allocate(this.columns.length, tailRows)
    copyRows(this.#store, this.#start + from, tail, 0, tailRows)
    this.#end = this.#start + from
    const merged = allocate(this.columns.length, tailRows + rows)
    this.#append(merged, mergeRows(tail, tailRows, incoming, rows, merged))
  }

  #append(source: Columns, rows: number): void {
    const skipped = Math.max(0, rows - this.capacity)
    const count = rows - skipped
    this.#start = Math.max(this.#start, this.#end + count - this.capacity)
    if (this.#end + count > this.capacity * 2) this.#moveToFront()
    copyRows(source, skipped, this.#store, this.#end, count)
    this.#end += count
  }

  #moveToFront(): void {
    for (const array of everyArray(this.#store)) array.copyWithin(0, this.#start, this.#end)
    this.#end -= this.#start
    this.#start = 0
  }
}

function asColumns(batch: RingBatch): Columns {
  return {
    time: batch.timesMs,
    values: batch.values,
    maxima: batch.maxima ?? batch.values,
    qualities: batch.qualities,
    envelope: new Uint8Array(batch.timesMs.length).fill(batch.maxima === undefined ? 0 : 1),
  }
}

function isAscending(times: Float64Array): boolean {
  for (let i = 1; i < times.length; i++) if (!((times[i] ?? 0) > (times[i - 1] ?? 0))) return false
  return true
}

function copyRows(from: Columns, fromRow: number, to: Columns, toRow: number, rows: number): void {
  const targets = everyArray(to)
  for (const [index, array] of everyArray(from).entries()) {
    targets[index]?.set(array.subarray(fromRow, fromRow + rows), toRow)
  }
}

/** Merges two ascending sets of rows into `out`; returns the rows written. */
function mergeRows(held: Columns, heldRows: number, incoming: Columns, incomingRows: number, out: Columns): number {
  const firstIncoming = incoming.time[0] ?? Number.POSITIVE_INFINITY
  const lastIncoming = incoming.time[incomingRows - 1] ?? Number.NEGATIVE_INFINITY
  const incomingIsSamples = incoming.envelope[0] !== 1
  /** Samples of the same span say more than the envelope that stood in for them. */
  const isReplaced = (h: number, t: number) =>
    incomingIsSamples && held.envelope[h] === 1 && t >= firstIncoming - SAME_INSTANT_MS && t <= lastIncoming
  const outArrays = everyArray(out)
  const write = (from: readonly (Float64Array | Float32Array | Uint8Array)[], row: number) => {
    for (const [index, target] of outArrays.entries()) target[written] = from[index]?.[row] ?? 0
    written++
  }
  const heldArrays = everyArray(held)
  const incomingArrays = everyArray(incoming)
  let h = 0
  let i = 0
  let written = 0
  while (h < heldRows || i < incomingRows) {
    const heldTime = h < heldRows ? (held.time[h] ?? 0) : Number.POSITIVE_INFINITY
    const incomingTime = i < incomingRows ? (incoming.time[i] ?? 0) : Number.POSITIVE_INFINITY
    if (h < heldRows && isReplaced(h, heldTime)) {
      h++
    } else if (Math.abs(heldTime - incomingTime) <= SAME_INSTANT_MS) {
      i++
    } else if (heldTime < incomingTime) {
      write(heldArrays, h++)
    } else {
      write(incomingArrays, i++)
    }
  }
  return written
}
