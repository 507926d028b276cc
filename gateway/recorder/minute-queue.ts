import type { StoreHandle } from './store-handle.ts'
import type { NamedMinute } from './stored-rows.ts'

/** Minutes that wait while nothing can be written: a day of seven zones. */
const MOST_MINUTES = 10_000

/** Minutes on their way to the store; while it cannot be written they wait, and the oldest are let go first. */
export class MinuteQueue {
  readonly #store: StoreHandle
  #waiting: NamedMinute[] = []

  constructor(store: StoreHandle) {
    this.#store = store
  }

  add(minute: NamedMinute): void {
    this.#waiting.push(minute)
    if (this.#waiting.length > MOST_MINUTES) this.#waiting.shift()
  }

  async write(): Promise<void> {
    const minutes = this.#waiting
    const { link } = this.#store
    if (minutes.length === 0 || link === null) return
    this.#waiting = []
    try {
      await link.writer.call('minutes', [minutes])
    } catch {
      // They wait in memory; the next seal tries again.
      this.#waiting = [...minutes, ...this.#waiting]
    }
  }
}
