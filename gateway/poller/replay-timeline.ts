/**
 * Gives the rows of a recording their time on the monotonic clock, and says when each is due.
 *
 * The first row is at `startMs`; the others keep their recorded spacing at any speed, so that a noise,
 * a window and a rate per hour mean what they meant when it was recorded. Played faster than it was
 * recorded, the rows are due before their times, which run ahead of the clock.
 * On every further pass the first row comes one step (that of the first two rows) after the last.
 */
export class ReplayTimeline {
  readonly #startMs: number
  readonly #speed: number
  #anchorMs: number
  #firstSeconds: number | null = null
  #stepMs: number
  #stepKnown = false
  #lastMs: number | null = null

  /** `stepMs` stands in for the first spacing while fewer than two rows are known. */
  constructor(startMs: number, speed: number | 'max', stepMs: number) {
    this.#startMs = startMs
    this.#anchorMs = startMs
    this.#speed = speed === 'max' ? Number.POSITIVE_INFINITY : speed
    this.#stepMs = stepMs
  }

  /** When a row of this time is to be handed on, in monotonic ms: at once for `max`. */
  dueMs(tMs: number): number {
    return this.#startMs + (tMs - this.#startMs) / this.#speed
  }

  /** The time of the next row, in monotonic ms. */
  place(seconds: number): number {
    this.#firstSeconds ??= seconds
    const at = this.#anchorMs + (seconds - this.#firstSeconds) * 1000
    if (!this.#stepKnown && this.#lastMs !== null) {
      this.#stepMs = at - this.#lastMs
      this.#stepKnown = true
    }
    this.#lastMs = at
    return at
  }

  /** One step after the last row; the start while there is none. */
  get nextMs(): number {
    return this.#lastMs === null ? this.#anchorMs : this.#lastMs + this.#stepMs
  }

  /** The recording begins anew. */
  again(): void {
    this.#anchorMs = this.nextMs
    this.#firstSeconds = null
  }
}
