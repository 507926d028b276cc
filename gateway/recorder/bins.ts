import type { Envelope } from '../../shared/schemas/history.ts'

/** Good samples of one series gathered into stretches of equal width on absolute time. */
export class Bins {
  readonly #count: number
  readonly n: Float64Array
  readonly #min: Float64Array
  readonly #max: Float64Array
  readonly #sum: Float64Array

  constructor(count: number) {
    this.#count = count
    this.n = new Float64Array(count)
    this.#min = new Float64Array(count).fill(Number.POSITIVE_INFINITY)
    this.#max = new Float64Array(count).fill(Number.NEGATIVE_INFINITY)
    this.#sum = new Float64Array(count)
  }

  /** One that is outside is left alone. */
  add(bin: number, value: number): void {
    this.merge(bin, 1, value, value, value)
  }

  merge(bin: number, n: number, min: number, max: number, sum: number): void {
    if (!(bin >= 0 && bin < this.#count) || n === 0) return
    this.n[bin] = (this.n[bin] ?? 0) + n
    this.#min[bin] = Math.min(this.#min[bin] ?? 0, min)
    this.#max[bin] = Math.max(this.#max[bin] ?? 0, max)
    this.#sum[bin] = (this.#sum[bin] ?? 0) + sum
  }

  /** NaN where there is none. */
  mean(bin: number): number {
    const n = this.n[bin] ?? 0
    return n === 0 ? Number.NaN : (this.#sum[bin] ?? 0) / n
  }

  envelope(unit: string): Envelope {
    const where = (pick: (bin: number) => number) =>
      Array.from({ length: this.#count }, (_, bin) => ((this.n[bin] ?? 0) === 0 ? null : pick(bin)))
    return {
      unit,
      min: where((bin) => this.#min[bin] ?? 0),
      max: where((bin) => this.#max[bin] ?? 0),
      mean: where((bin) => this.mean(bin)),
      n: Array.from(this.n),
    }
  }
}
