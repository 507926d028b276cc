/**
 * Events per second over the last 10 s, in bounded memory: ten slots of one second. The running
 * second counts with the part of it that has passed, so that the figure is not low by half a slot.
 */
const SLOT_MS = 1000
const SLOTS = 10

export class RateWindow {
  readonly #counts = new Array<number>(SLOTS).fill(0)
  readonly #epochs = new Array<number>(SLOTS).fill(-1)
  readonly #startMs: number

  constructor(startMs: number) {
    this.#startMs = startMs
  }

  add(nowMs: number): void {
    const epoch = Math.floor(nowMs / SLOT_MS)
    const slot = epoch % SLOTS
    if (this.#epochs[slot] !== epoch) {
      this.#epochs[slot] = epoch
      this.#counts[slot] = 0
    }
    this.#counts[slot] = (this.#counts[slot] ?? 0) + 1
  }

  /** Events per second; null until half a second has passed since the start. */
  perSecond(nowMs: number): number | null {
    const oldest = Math.floor(nowMs / SLOT_MS) - SLOTS + 1
    const seconds = (nowMs - Math.max(this.#startMs, oldest * SLOT_MS)) / 1000
    if (seconds < 0.5) return null
    const events = this.#counts.reduce((sum, count, i) => ((this.#epochs[i] ?? -1) >= oldest ? sum + count : sum), 0)
    return events / seconds
  }
}
