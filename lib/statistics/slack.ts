import { Smoother } from './smoother.ts'

/** A slack web counts as taut again above this multiple of the limit, so that noise does not toggle it (common practice, no source). */
const TAUT_AGAIN = 1.25
const SMOOTHING_MS = 500

/** Whether the web is slack: the magnitude of the smoothed total under a limit, with hysteresis. O(1). */
export class SlackGate {
  readonly #limitN: number
  readonly #smoother = new Smoother(SMOOTHING_MS)
  #slack: boolean | undefined

  constructor(limitN: number) {
    this.#limitN = limitN
  }

  /** False before the first total. */
  get slack(): boolean {
    return this.#slack ?? false
  }

  /** Returns true when this total changed slack to taut or back. The first total changes nothing. */
  add(tMs: number, totalN: number): boolean {
    const magnitude = Math.abs(this.#smoother.add(tMs, totalN))
    const before = this.#slack
    this.#slack = magnitude < (before === true ? TAUT_AGAIN : 1) * this.#limitN
    return before !== undefined && before !== this.#slack
  }
}
