import type { RawReading } from '../../shared/sample.ts'

/** Readings wait this long for company, so that devices in step cost one message. */
const COALESCE_MS = 2
const LARGEST_BATCH = 512
/** Readings under way to the gateway before a replay waits for it. */
const MOST_AHEAD = 2048

/**
 * Readings on their way to the gateway: posted within 2 ms or when 512 have come together.
 * The gateway acknowledges what it has worked off. Polled devices never wait for that; a
 * replay at full speed does, by `room`, so that it cannot bury the gateway.
 */
export class Outbox {
  readonly #post: (batch: readonly RawReading[]) => void
  #batch: RawReading[] = []
  #timer: NodeJS.Timeout | null = null
  #ahead = 0
  #waiting: (() => void)[] = []

  constructor(post: (batch: readonly RawReading[]) => void) {
    this.#post = post
  }

  push(reading: RawReading): void {
    this.#ahead++
    this.#batch.push(reading)
    if (this.#batch.length >= LARGEST_BATCH) this.flush()
    else this.#timer ??= setTimeout(() => this.flush(), COALESCE_MS)
  }

  flush(): void {
    if (this.#timer !== null) clearTimeout(this.#timer)
    this.#timer = null
    if (this.#batch.length === 0) return
    const batch = this.#batch
    this.#batch = []
    this.#post(batch)
  }

  acknowledge(readings: number): void {
    this.#ahead -= readings
    if (this.#ahead < MOST_AHEAD) this.release()
  }

  room(): Promise<void> {
    if (this.#ahead < MOST_AHEAD) return Promise.resolve()
    return new Promise((resolve) => this.#waiting.push(resolve))
  }

  /** Lets everyone go who waits for room: there is some, or the process is about to end. */
  release(): void {
    for (const resolve of this.#waiting.splice(0)) resolve()
  }
}
