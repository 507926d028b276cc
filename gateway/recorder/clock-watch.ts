/** Smaller differences are the reading of two clocks one after the other, or the wall clock being slewed. */
export const LEAST_STEP_MS = 250

/**
 * Compares the wall clock with the gateway's own, which is never set: a jump between two looks is a step of the wall
 * clock (NTP, a hand, a sleeping machine).
 */
export class ClockWatch {
  #aheadMs: number | null = null

  /** How far the gateway's clock stands ahead of the wall clock; negative behind it, 0 for less than a step. */
  get aheadMs(): number {
    const aheadMs = this.#aheadMs ?? 0
    return Math.abs(aheadMs) < LEAST_STEP_MS ? 0 : aheadMs
  }

  /** Returns the step since the last look in ms, positive when the wall clock was put forward; null when there was none. */
  look(gatewayMs: number, wallMs: number): number | null {
    const aheadMs = gatewayMs - wallMs
    const stepMs = this.#aheadMs === null ? 0 : this.#aheadMs - aheadMs
    const isStep = Math.abs(stepMs) >= LEAST_STEP_MS
    if (isStep || this.#aheadMs === null) this.#aheadMs = aheadMs
    return isStep ? Math.round(stepMs) : null
  }
}
