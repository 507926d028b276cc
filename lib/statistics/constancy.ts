import { Smoother } from './smoother.ts'

/** Rows of extremes a window is cut into: the window is exact to one part in so many. */
const ROWS = 32

export interface ConstancyOptions {
  readonly windowMs: number
  /** Largest change within the window, % of the largest magnitude in it. */
  readonly percent: number
  /** Magnitudes under this count as this, so that a standing machine's noise is no change. */
  readonly floor: number
  /** Time constant of the low-pass before judging: one noisy sample is no change. */
  readonly smoothingMs: number
}

/**
 * Watches that a quantity stays the same: highest less lowest (smoothed) value within a sliding window.
 * O(1) a sample, amortised; bounded memory; allocates only on construction.
 */
export class Constancy {
  readonly #options: ConstancyOptions
  readonly #smoother: Smoother
  readonly #rowMs: number
  readonly #low = new Float64Array(ROWS).fill(Number.POSITIVE_INFINITY)
  readonly #high = new Float64Array(ROWS).fill(Number.NEGATIVE_INFINITY)
  #row = Number.NEGATIVE_INFINITY
  /** Extremes of the rows before the open one. */
  #closedLow = Number.POSITIVE_INFINITY
  #closedHigh = Number.NEGATIVE_INFINITY

  constructor(options: ConstancyOptions) {
    this.#options = options
    this.#smoother = new Smoother(options.smoothingMs)
    this.#rowMs = options.windowMs / ROWS
  }

  /** Returns the change in % when it is more than allowed (and begins a new window here), else 0. */
  add(tMs: number, x: number): number {
    const value = this.#smoother.add(tMs, x)
    this.#open(Math.floor(tMs / this.#rowMs))
    const slot = mod(this.#row)
    const low = Math.min(this.#low[slot] ?? value, value)
    const high = Math.max(this.#high[slot] ?? value, value)
    this.#low[slot] = low
    this.#high[slot] = high
    const lowest = Math.min(low, this.#closedLow)
    const highest = Math.max(high, this.#closedHigh)
    const magnitude = Math.max(Math.abs(lowest), Math.abs(highest), this.#options.floor)
    const percent = magnitude > 0 ? (100 * (highest - lowest)) / magnitude : 0
    if (percent <= this.#options.percent) return 0
    this.#restart(value)
    return percent
  }

  #open(row: number): void {
    if (row <= this.#row) return
    const first = Math.max(row - ROWS, this.#row) + 1
    for (let r = first; r <= row; r += 1) {
      this.#low[mod(r)] = Number.POSITIVE_INFINITY
      this.#high[mod(r)] = Number.NEGATIVE_INFINITY
    }
    this.#row = row
    this.#closedLow = Number.POSITIVE_INFINITY
    this.#closedHigh = Number.NEGATIVE_INFINITY
    for (let r = 0; r < ROWS; r += 1) {
      this.#closedLow = Math.min(this.#closedLow, this.#low[r] ?? Number.POSITIVE_INFINITY)
      this.#closedHigh = Math.max(this.#closedHigh, this.#high[r] ?? Number.NEGATIVE_INFINITY)
    }
  }

  #restart(value: number): void {
    this.#low.fill(Number.POSITIVE_INFINITY)
    this.#high.fill(Number.NEGATIVE_INFINITY)
    this.#closedLow = Number.POSITIVE_INFINITY
    this.#closedHigh = Number.NEGATIVE_INFINITY
    this.#low[mod(this.#row)] = value
    this.#high[mod(this.#row)] = value
  }
}

const mod = (row: number): number => ((row % ROWS) + ROWS) % ROWS
