import type { NewEvent } from '../../shared/schemas/events.ts'
import { OFF, OPENING, type StateWords } from './recorder-words.ts'

export interface RecordingStateOptions {
  /** Epoch ms. */
  readonly nowMs: () => number
  readonly log: (line: string) => void
  readonly say: (event: Pick<NewEvent, 'kind' | 'text' | 'data'>) => void
}

/** How recording is, in words, and since when; each change is a line of the log and of the trail. */
export class RecordingState {
  readonly #options: RecordingStateOptions
  #words: StateWords = OFF
  #sinceMs: number

  constructor(options: RecordingStateOptions) {
    this.#options = options
    this.#sinceMs = options.nowMs()
  }

  get words(): StateWords {
    return this.#words
  }

  /** Epoch ms. */
  get sinceMs(): number {
    return this.#sinceMs
  }

  become(words: StateWords): void {
    const before = this.#words
    this.#words = words
    if (before.sentence === words.sentence) return
    const { nowMs, log, say } = this.#options
    this.#sinceMs = nowMs()
    if (words === OPENING) return
    log(`recorder: ${words.sentence}`)
    const { state, error } = words
    say({ kind: 'recording', text: words.sentence, data: { state, ...(error === null ? {} : { code: error.code }) } })
  }
}
