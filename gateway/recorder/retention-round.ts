import { setTimeout as wait } from 'node:timers/promises'
import type { KeptKindFacts } from './retention.ts'
import { RetentionPace } from './retention-pace.ts'
import type { StoreHandle } from './store-handle.ts'

/** When old data is looked for: soon after the start, then so often, by the clock of the samples. */
const FIRST_MS = 10_000
const EVERY_MS = 3_600_000

/**
 * Lets go of what is beyond its limits, round by round: a round ends when nothing is. Rounds come by the clock of the
 * samples (a recording that is played at full speed fills a disk between two hours of ours), and what a round finds it
 * works off at the pace of the disk: after a long standstill, or with a limit that was made smaller, that is much.
 */
export class RetentionRound {
  readonly #store: StoreHandle
  readonly #nowMs: () => number
  readonly #pace = new RetentionPace()
  #dueMs = Number.POSITIVE_INFINITY
  #isUnderWay = false
  #kept: readonly KeptKindFacts[] = []

  /** @param nowMs time by which recordings grow old, epoch ms */
  constructor(store: StoreHandle, nowMs: () => number) {
    this.#store = store
    this.#nowMs = nowMs
  }

  /** What there was after the last round; nothing before the first. */
  get kept(): readonly KeptKindFacts[] {
    return this.#kept
  }

  forgetKept(): void {
    this.#kept = []
  }

  begin(now: number): void {
    this.#dueMs = now + FIRST_MS
  }

  /** Begins a round when one is due by the clock of the samples. */
  look(now: number): void {
    if (now < this.#dueMs) return
    this.#dueMs = now + EVERY_MS
    if (!this.#isUnderWay) void this.#round()
  }

  /** Ends early when the store is closed or a batch fails: the next round begins anew. */
  async #round(): Promise<void> {
    this.#isUnderWay = true
    for (let restMs = await this.#batch(); restMs !== null; restMs = await this.#batch())
      await wait(restMs, undefined, { ref: false })
    this.#isUnderWay = false
  }

  /** How long to wait for the next one; null when there is nothing more to do. */
  async #batch(): Promise<number | null> {
    let restMs: number | null = null
    await this.#store.writing(async (link) => {
      const { isMore, tookMs } = await link.writer.call('retain', [this.#nowMs(), this.#pace.rows])
      const rest = this.#pace.took(tookMs)
      if (isMore) restMs = rest
      else this.#kept = await link.writer.call('kept', [])
    })
    return restMs
  }
}
