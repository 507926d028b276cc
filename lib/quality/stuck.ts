import type { MonotonicMs } from '../../shared/brand.ts'

/**
 * Tells a frozen channel: a live cell's last bit always moves, so identical raw values for longer
 * than `afterMs` mean that the converter or its driver stopped (common practice, no source).
 * `afterMs` of 0 turns it off. O(1) a sample.
 */
export class StuckDetector {
  readonly #afterMs: number
  #value: number | null = null
  #sinceMs = 0

  constructor(afterMs: number) {
    this.#afterMs = afterMs
  }

  /** True once `raw` has been the same for longer than the allowed time. */
  isStuck(tMs: MonotonicMs, raw: number): boolean {
    if (raw !== this.#value) {
      this.#value = raw
      this.#sinceMs = tMs
      return false
    }
    return this.#afterMs > 0 && tMs - this.#sinceMs > this.#afterMs
  }

  /** When the present raw value first came. */
  get sinceMs(): number {
    return this.#sinceMs
  }

  /** A gap proves nothing about the channel: count anew from the next sample. */
  reset(): void {
    this.#value = null
  }
}
