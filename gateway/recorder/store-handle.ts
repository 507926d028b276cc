import { EvenpullError } from '../../shared/errors.ts'
import type { StateWords } from './recorder-words.ts'
import { StoreLink } from './store-link.ts'

export interface StoreHandleOptions {
  /** How recording is: why a store that is not open cannot be asked. */
  readonly words: () => StateWords
  readonly log: (line: string) => void
}

/** The store that is open at the moment, if one is: what every part of the recorder asks and writes through. */
export class StoreHandle {
  readonly #options: StoreHandleOptions
  /** The threads: they outlive the file that is open. */
  #threads: StoreLink | null = null
  #isOpen = false

  constructor(options: StoreHandleOptions) {
    this.#options = options
  }

  /** Null while none is open. */
  get link(): StoreLink | null {
    return this.#isOpen ? this.#threads : null
  }

  get isOpen(): boolean {
    return this.#isOpen
  }

  /** The link of a store that is open. Throws EVP_RECORDER_OFF or EVP_RECORDER_STOPPED. */
  opened(): StoreLink {
    if (this.link !== null) return this.link
    const { state, sentence } = this.#options.words()
    throw new EvenpullError(state === 'off' ? 'EVP_RECORDER_OFF' : 'EVP_RECORDER_STOPPED', sentence)
  }

  /** Runs `act` when a store is open; a failure is said in the log, not thrown. */
  async writing(act: (link: StoreLink) => Promise<unknown>): Promise<void> {
    if (this.link === null) return
    try {
      await act(this.link)
    } catch (error) {
      this.#options.log(`recorder: ${error instanceof Error ? error.message : String(error)}`)
    }
  }

  /** The threads that open a store, made when there are none. `ended` is told when one dies. */
  threads(ended: (error: Error) => void): StoreLink {
    this.#threads ??= new StoreLink(ended)
    return this.#threads
  }

  becomeOpen(): void {
    this.#isOpen = true
  }

  becomeClosed(): void {
    this.#isOpen = false
  }

  /** Ends the threads; a file that is open should have been closed before. */
  async terminate(): Promise<void> {
    const threads = this.#threads
    this.#threads = null
    this.#isOpen = false
    await threads?.terminate()
  }
}
