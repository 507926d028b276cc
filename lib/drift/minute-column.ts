import { medianOf } from './select.ts'

/** Most values kept of one minute: 60 s at 1000/s need 60 000; what comes after that does not count. */
const MOST = 65_536

/** Numbers of one minute, for their median. O(1) a number, amortised; the memory stays for the next minute. */
export class MinuteColumn {
  #values = new Float64Array(1024)
  #n = 0

  /** A value that is not finite is left out. */
  add(value: number): void {
    if (!Number.isFinite(value) || this.#n === MOST) return
    if (this.#n === this.#values.length) this.#grow()
    this.#values[this.#n] = value
    this.#n += 1
  }

  /** The median of what was added, null without any; and begins anew. */
  close(): number | null {
    const median = medianOf(this.#values, this.#n)
    this.#n = 0
    return Number.isNaN(median) ? null : median
  }

  #grow(): void {
    const values = new Float64Array(this.#values.length * 2)
    values.set(this.#values)
    this.#values = values
  }
}
