import type { RowSource } from './decimate.ts'

/** A copy of the rows as they were: what a paused picture stands on while the ring runs on. */
export class FrozenRows implements RowSource {
  readonly #times: Float64Array
  readonly #values: readonly Float32Array[]
  readonly #maxima: readonly Float32Array[]
  readonly #qualities: readonly Uint8Array[]
  readonly #envelopes: Uint8Array

  constructor(source: RowSource, columns: number) {
    const each = <T>(read: (column: number) => T) => Array.from({ length: columns }, (_, c) => read(c))
    this.#times = source.times().slice()
    this.#values = each((c) => source.values(c).slice())
    this.#maxima = each((c) => source.maxima(c).slice())
    this.#qualities = each((c) => source.qualities(c).slice())
    this.#envelopes = source.envelopes().slice()
  }

  get length(): number {
    return this.#times.length
  }

  timeAt(i: number): number {
    return this.#times[i] ?? Number.NaN
  }

  indexAtOrAfter(tMs: number): number {
    let low = 0
    let high = this.#times.length
    while (low < high) {
      const middle = (low + high) >>> 1
      if ((this.#times[middle] ?? 0) < tMs) low = middle + 1
      else high = middle
    }
    return low
  }

  times(): Float64Array {
    return this.#times
  }

  values(column: number): Float32Array {
    return this.#values[column] ?? new Float32Array(this.length)
  }

  maxima(column: number): Float32Array {
    return this.#maxima[column] ?? new Float32Array(this.length)
  }

  qualities(column: number): Uint8Array {
    return this.#qualities[column] ?? new Uint8Array(this.length).fill(255)
  }

  envelopes(): Uint8Array {
    return this.#envelopes
  }
}
