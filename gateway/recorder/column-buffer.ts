import type { Column } from '../../lib/store-codec/column.ts'

/** Samples of one channel in order of time, growing. */
export interface TimedColumn extends Column {
  readonly ticks: Float64Array
}

const FIRST_CAPACITY = 64

export class ColumnBuffer {
  #ticks = new Float64Array(FIRST_CAPACITY)
  #raws = new Float64Array(FIRST_CAPACITY)
  #codes = new Uint8Array(FIRST_CAPACITY)
  #length = 0

  get length(): number {
    return this.#length
  }

  push(tick: number, raw: number, code: number): void {
    if (this.#length === this.#ticks.length) this.#grow(this.#length + 1)
    this.#ticks[this.#length] = tick
    this.#raws[this.#length] = raw
    this.#codes[this.#length] = code
    this.#length += 1
  }

  append({ ticks, raws, codes }: TimedColumn): void {
    if (this.#length + ticks.length > this.#ticks.length) this.#grow(this.#length + ticks.length)
    this.#ticks.set(ticks, this.#length)
    this.#raws.set(raws, this.#length)
    this.#codes.set(codes, this.#length)
    this.#length += ticks.length
  }

  /** A copy of what is held, which is then empty. */
  take(): TimedColumn {
    const column = this.copy()
    this.#length = 0
    return column
  }

  copy(): TimedColumn {
    return {
      ticks: this.#ticks.slice(0, this.#length),
      raws: this.#raws.slice(0, this.#length),
      codes: this.#codes.slice(0, this.#length),
    }
  }

  #grow(atLeast: number): void {
    const capacity = Math.max(atLeast, this.#ticks.length * 2)
    const grown = <T extends Float64Array | Uint8Array>(from: T, to: T): T => {
      to.set(from.subarray(0, this.#length))
      return to
    }
    this.#ticks = grown(this.#ticks, new Float64Array(capacity))
    this.#raws = grown(this.#raws, new Float64Array(capacity))
    this.#codes = grown(this.#codes, new Uint8Array(capacity))
  }
}

/** Rows `from` to `to` of a column, without copying. */
export function sliceOf({ ticks, raws, codes }: TimedColumn, from: number, to: number): TimedColumn {
  return { ticks: ticks.subarray(from, to), raws: raws.subarray(from, to), codes: codes.subarray(from, to) }
}
