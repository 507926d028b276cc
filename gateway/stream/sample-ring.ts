/** Consecutive rows as columns, copied out of a ring. */
export interface RowBlock {
  /** Epoch ms of each row. */
  readonly timesMs: Float64Array
  readonly values: readonly Float32Array[]
  readonly qualities: readonly Uint8Array[]
}

/** Where numbering goes on: a ring that replaces another must not hand out a number twice. */
export interface RingPosition {
  readonly seq: number
  readonly row: number
}

/**
 * The newest rows of one zone, and which numbered batch each belongs to.
 *
 * Rows and batches are counted from the start of the process and never renumbered: row numbers
 * are absolute (first 0), batch numbers count 1, 2, 3 …; the slot of a row is its number modulo
 * the capacity. A batch holds at least one row, so a table of `capacity + 1` batch ends always
 * covers every row kept, together with the end of the batch before the oldest.
 */
export class SampleRing {
  readonly columns: number
  readonly capacity: number
  readonly #times: Float64Array
  /** Column by column: slot of (column, row) is column × capacity + row modulo capacity. */
  readonly #values: Float32Array
  readonly #qualities: Uint8Array
  /** Row after the last of batch `seq`, at `seq` modulo (capacity + 1). */
  readonly #ends: Float64Array
  /** First row ever pushed here. */
  readonly #first: number
  #rows: number
  #lastSeq: number
  #oldestSeq: number

  /** Throws RangeError unless columns ≥ 1 and capacity ≥ 1, both integers. */
  constructor(columns: number, capacity: number, from: RingPosition = { seq: 0, row: 0 }) {
    if (!(Number.isInteger(columns) && columns >= 1))
      throw new RangeError(`columns: expected 1 or more, got ${columns}`)
    if (!(Number.isInteger(capacity) && capacity >= 1))
      throw new RangeError(`capacity: expected 1 or more, got ${capacity}`)
    this.columns = columns
    this.capacity = capacity
    this.#times = new Float64Array(capacity)
    this.#values = new Float32Array(capacity * columns)
    this.#qualities = new Uint8Array(capacity * columns)
    this.#ends = new Float64Array(capacity + 1)
    this.#first = from.row
    this.#rows = from.row
    this.#lastSeq = from.seq
    this.#oldestSeq = from.seq + 1
    this.#ends[from.seq % (capacity + 1)] = from.row
  }

  /** Number of the newest batch; 0 before the first. */
  get lastSeq(): number {
    return this.#lastSeq
  }

  /** Number of the oldest batch that is still whole; `lastSeq + 1` when none is. */
  get oldestSeq(): number {
    return this.#oldestSeq
  }

  /** Row after the newest one, sealed or pending. */
  get rows(): number {
    return this.#rows
  }

  /** Rows pushed since the last batch was sealed. */
  get pendingRows(): number {
    return this.#rows - this.endRow(this.#lastSeq)
  }

  /** Row after the last one of batch `seq`; only for `oldestSeq − 1 ≤ seq ≤ lastSeq`. */
  endRow(seq: number): number {
    return this.#ends[seq % (this.capacity + 1)] ?? Number.NaN
  }

  /** First row of batch `seq`; only for `oldestSeq ≤ seq ≤ lastSeq + 1`. */
  startRow(seq: number): number {
    return this.endRow(seq - 1)
  }

  /** Epoch ms of a row that is still kept. */
  timeAt(row: number): number {
    return this.#times[row % this.capacity] ?? Number.NaN
  }

  /** First row kept that is not older than `timeMs` (epoch); `rows` when none is. Rows must be in order of time. */
  rowFrom(timeMs: number): number {
    let low = Math.max(this.#first, this.#rows - this.capacity)
    let high = this.#rows
    while (low < high) {
      const middle = (low + high) >>> 1
      if (this.timeAt(middle) < timeMs) low = middle + 1
      else high = middle
    }
    return low
  }

  /** Appends a row, over the oldest when full. `values` and `qualities` hold one entry a column. */
  push(timeMs: number, values: ArrayLike<number>, qualities: ArrayLike<number>): void {
    const slot = this.#rows % this.capacity
    this.#times[slot] = timeMs
    for (let c = 0; c < this.columns; c++) {
      this.#values[c * this.capacity + slot] = values[c] ?? Number.NaN
      this.#qualities[c * this.capacity + slot] = qualities[c] ?? 0
    }
    this.#rows += 1
    const oldestRow = this.#rows - this.capacity
    while (this.#oldestSeq <= this.#lastSeq && this.startRow(this.#oldestSeq) < oldestRow) this.#oldestSeq += 1
  }

  /** Gives the pending rows the next batch number and returns it; null when nothing is pending. */
  seal(): number | null {
    if (this.pendingRows === 0) return null
    this.#lastSeq += 1
    this.#ends[this.#lastSeq % (this.capacity + 1)] = this.#rows
    if (this.startRow(this.#lastSeq) < this.#rows - this.capacity) this.#oldestSeq = this.#lastSeq + 1
    return this.#lastSeq
  }

  /** Copies rows `startRow` ≤ row < `endRow`, which must still be kept. */
  read(startRow: number, endRow: number): RowBlock {
    const count = endRow - startRow
    const first = startRow % this.capacity
    const head = Math.min(count, this.capacity - first)
    const timesMs = new Float64Array(count)
    copyWrapped(timesMs, this.#times, 0, first, head)
    const values: Float32Array[] = []
    const qualities: Uint8Array[] = []
    for (let c = 0; c < this.columns; c++) {
      const base = c * this.capacity
      const column = new Float32Array(count)
      copyWrapped(column, this.#values, base, first, head)
      values.push(column)
      const codes = new Uint8Array(count)
      copyWrapped(codes, this.#qualities, base, first, head)
      qualities.push(codes)
    }
    return { timesMs, values, qualities }
  }

  /** The same rows and numbers in a ring of another capacity; the oldest go where it is smaller. */
  resized(capacity: number): SampleRing {
    const sealedEnd = this.endRow(this.#lastSeq)
    let seq = this.#oldestSeq
    while (seq <= this.#lastSeq && this.#rows - this.startRow(seq) > capacity) seq += 1
    const ring = new SampleRing(this.columns, capacity, { seq: seq - 1, row: this.startRow(seq) })
    for (; seq <= this.#lastSeq; seq++) {
      this.#copyRows(ring, this.startRow(seq), this.endRow(seq))
      ring.seal()
    }
    this.#copyRows(ring, sealedEnd, this.#rows)
    return ring
  }

  #copyRows(to: SampleRing, startRow: number, endRow: number): void {
    const block = this.read(startRow, endRow)
    for (let i = 0; i < block.timesMs.length; i++) {
      to.push(
        block.timesMs[i] ?? Number.NaN,
        block.values.map((column) => column[i] ?? Number.NaN),
        block.qualities.map((column) => column[i] ?? 0),
      )
    }
  }
}

/** Fills `to` from a ring's column at `base`: `head` rows from `first`, the rest from its beginning. */
function copyWrapped<T extends Float64Array | Float32Array | Uint8Array>(
  to: T,
  from: T,
  base: number,
  first: number,
  head: number,
): void {
  to.set(from.subarray(base + first, base + first + head))
  if (to.length > head) to.set(from.subarray(base, base + to.length - head), head)
}
