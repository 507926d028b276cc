/**
 * Gives the rows of a recording their time on the monotonic clock.
 *
 * The first row is at `startMs`; the others keep the recorded spacing divided by the speed. At
 * `max` the recorded spacing is kept as it is, so that statistics over time mean what they meant
 * when it was recorded; the rows then come faster than their times, which run ahead of the clock.
 * On every further pass the first row comes one step (that of the first two rows) after the last.
 */
export class ReplayTimeline {
  readonly #msPerSecond: number
  #anchorMs: number
  #firstSeconds: number | null = null
  #stepMs: number
  #stepKnown = false
  #lastMs: number | null = null

  /** `stepMs` stands in for the first spacing while fewer than two rows are known. */
  constructor(startMs: number, speed: number | 'max', stepMs: number) {
    this.#anchorMs = startMs
    this.#msPerSecond = 1000 / (speed === 'max' ? 1 : speed)
    this.#stepMs = stepMs
  }

  /** When the next row is, in monotonic ms. */
  place(seconds: number): number {
    this.#firstSeconds ??= seconds
    const at = this.#anchorMs + (seconds - this.#firstSeconds) * this.#msPerSecond
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
