import type { KeptStates, StateKeeper } from './kept-states.ts'

/** How long a failed save waits before it is tried again without a new change. */
const RETRY_MS = 5000

/**
 * Saves the newest states, one write at a time: what changes meanwhile goes into the next. A failure is told
 * (`failure`) and tried again; alarms go on without.
 */
export class Saver {
  readonly #keeper: StateKeeper
  readonly #states: () => KeptStates
  #running: Promise<void> | null = null
  #isDue = false
  #retry: NodeJS.Timeout | null = null
  /** Why the newest states are not kept, in words; null while they are. */
  failure: string | null = null

  constructor(keeper: StateKeeper, states: () => KeptStates) {
    this.#keeper = keeper
    this.#states = states
  }

  /** Resolves when a write that began after this call has ended, well or not. */
  save(): Promise<void> {
    this.#isDue = true
    this.#running ??= this.#run()
    return this.#running
  }

  async close(): Promise<void> {
    if (this.#retry !== null) clearTimeout(this.#retry)
    this.#retry = null
    if (this.failure !== null) this.#isDue = true
    if (this.#isDue) await this.save()
    await this.#running
    if (this.#retry !== null) clearTimeout(this.#retry)
  }

  async #run(): Promise<void> {
    while (this.#isDue) {
      this.#isDue = false
      await this.#write()
    }
    this.#running = null
  }

  async #write(): Promise<void> {
    try {
      await this.#keeper.save(this.#states())
      this.failure = null
    } catch (error) {
      this.failure = error instanceof Error ? error.message : String(error)
      if (this.#retry !== null) clearTimeout(this.#retry)
      this.#retry = setTimeout(() => void this.save(), RETRY_MS)
      this.#retry.unref()
    }
  }
}
