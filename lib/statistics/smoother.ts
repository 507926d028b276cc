/** After a hole of this many time constants nothing of the old value is left worth keeping. */
const FORGET_AFTER = 10

/** First-order low-pass for unevenly timed samples; begins anew after a long hole. O(1), two numbers of memory. */
export class Smoother {
  readonly #timeConstantMs: number
  #tMs = Number.NEGATIVE_INFINITY
  #value = 0

  constructor(timeConstantMs: number) {
    this.#timeConstantMs = timeConstantMs
  }

  add(tMs: number, x: number): number {
    const dt = tMs - this.#tMs
    this.#tMs = tMs
    if (dt > FORGET_AFTER * this.#timeConstantMs) this.#value = x
    else this.#value += ((x - this.#value) * dt) / (dt + this.#timeConstantMs)
    return this.#value
  }
}
