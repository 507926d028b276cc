/** The same refusal is noted again only after this long: a script that keeps asking must not fill the trail. */
const AGAIN_AFTER_MS = 60_000
/** Refusals told apart at most; beyond that, further ones go unnoted until old ones are forgotten. */
const MOST = 1000

/** Which refusals belong in the trail: each once a minute. Monotonic ms. */
export class RefusalNotes {
  readonly #nowMs: () => number
  readonly #notedMs = new Map<string, number>()

  constructor(nowMs: () => number) {
    this.#nowMs = nowMs
  }

  isNew(what: string): boolean {
    const nowMs = this.#nowMs()
    const known = this.#notedMs.get(what)
    if (known !== undefined && nowMs - known < AGAIN_AFTER_MS) return false
    if (this.#notedMs.size >= MOST)
      for (const [key, ms] of this.#notedMs) if (nowMs - ms >= AGAIN_AFTER_MS) this.#notedMs.delete(key)
    if (this.#notedMs.size >= MOST) return false
    this.#notedMs.set(what, nowMs)
    return true
  }
}
