/** The polling process speaks at least once a second; after this silence nothing is known of its devices. */
const SILENT_AFTER_MS = 3000
/** After this silence it is taken for hung for good. */
const HUNG_AFTER_MS = 10_000
/** Loading takes a loaded machine this long at the very worst. */
const STARTED_WITHIN_MS = 60_000
/** A look that comes later than this after the one before: it was this process that stood still, not the other. */
const OWN_PAUSE_MS = 1000

/**
 * Tells from outside whether a process that owes a word each second still works. Times are monotonic ms.
 *
 * Time in which nobody looked does not count as silence: what was said meanwhile is still to be read. While the
 * process starts it owes nothing for a minute.
 */
export class SilenceWatch {
  #heardMs = 0
  #lookedMs = 0
  #starting = true
  #told: 'silent' | 'hung' | null = null

  /** A process was started. */
  started(now: number): void {
    this.#starting = true
    this.#begin(now)
    this.#lookedMs = now
  }

  /** It said something. */
  heard(now: number): void {
    this.#starting = false
    this.#begin(now)
  }

  /** `silent` and `hung` are told once for each silence; null when there is nothing new to tell. */
  look(now: number): 'silent' | 'hung' | null {
    const stoodStill = now - this.#lookedMs > OWN_PAUSE_MS
    this.#lookedMs = now
    if (stoodStill) this.#heardMs = now
    const silenceMs = now - this.#heardMs
    const found = this.#judge(silenceMs)
    if (found === null || found === this.#told || this.#told === 'hung') return null
    this.#told = found
    return found
  }

  #judge(silenceMs: number): 'silent' | 'hung' | null {
    if (this.#starting) return silenceMs > STARTED_WITHIN_MS ? 'hung' : null
    if (silenceMs > HUNG_AFTER_MS) return 'hung'
    return silenceMs > SILENT_AFTER_MS ? 'silent' : null
  }

  #begin(now: number): void {
    this.#heardMs = now
    this.#told = null
  }
}
