/** Timeouts in a row after which a request is asked less often. */
const PATIENCE = 3
const RETRY_MS = 1000

/**
 * Keeps one dead unit from slowing its neighbours on the same line: a request that has timed out
 * three times in a row is asked once a second until it answers. Only timeouts count, since every
 * other failure is quick.
 */
export class SilenceGate {
  #timeouts = 0
  #askedMs = Number.NEGATIVE_INFINITY

  mayAsk(now: number): boolean {
    return this.#timeouts < PATIENCE || now - this.#askedMs >= RETRY_MS
  }

  asked(now: number, timedOut: boolean): void {
    this.#askedMs = now
    this.#timeouts = timedOut ? this.#timeouts + 1 : 0
  }
}
