/** Ids kept of requests that were never answered; a device that owes more than this has long been reconnected. */
const MAX_GIVEN_UP = 1024

/**
 * From one id to the next: odd, so that all 65536 come round before one is used again, and far from 1, so that a
 * device that counts on by itself does not hit the id of the next request.
 */
const STEP = 0x9e37

/**
 * 16-bit transaction ids. The id of a request that was given up is not used again, however often
 * the counter wraps, until its answer has come: so no answer can be taken for a later one.
 */
export class TransactionIds {
  #last: number
  readonly #givenUp = new Set<number>()

  /** `last`: the id before the first one given out. */
  constructor(last: number) {
    this.#last = last & 0xffff
  }

  next(): number {
    do this.#last = (this.#last + STEP) & 0xffff
    while (this.#givenUp.has(this.#last))
    return this.#last
  }

  giveUp(id: number): void {
    this.#givenUp.add(id)
    if (this.#givenUp.size <= MAX_GIVEN_UP) return
    const [oldest] = this.#givenUp
    if (oldest !== undefined) this.#givenUp.delete(oldest)
  }

  isGivenUp(id: number): boolean {
    return this.#givenUp.has(id)
  }

  /** The answer to a request that was given up has come. */
  settle(id: number): void {
    this.#givenUp.delete(id)
  }
}
