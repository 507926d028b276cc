/** Batches of one zone that arrived, as ranges of their numbers, so that a hole is seen and asked for. */
export interface SequenceRange {
  readonly from: number
  readonly to: number
}

/** How often a hole is asked for before it is taken as gone: the gateway keeps ten minutes, no more. */
const MOST_REQUESTS = 2

export class SequenceBook {
  #have: SequenceRange[] = []
  readonly #asked = new Map<string, { count: number; atMs: number }>()
  #caughtUp = false

  /** Notes batches `from`–`to` (both included) as received. */
  note(from: number, to: number): void {
    if (!(from <= to)) return
    const before = this.#have.filter((range) => range.to < from - 1)
    const after = this.#have.filter((range) => range.from > to + 1)
    const touching = this.#have.slice(before.length, this.#have.length - after.length)
    const merged = {
      from: Math.min(from, ...touching.map((range) => range.from)),
      to: Math.max(to, ...touching.map((range) => range.to)),
    }
    this.#have = [...before, merged, ...after]
  }

  /** The backlog asked for has come in full: from here on a hole is a loss. */
  noteCaughtUp(): void {
    this.#caughtUp = true
  }

  /** What is missing between the first and the last batch received. */
  holes(): readonly SequenceRange[] {
    return this.#have.slice(1).map((range, index) => ({ from: (this.#have[index]?.to ?? 0) + 1, to: range.from - 1 }))
  }

  /**
   * Number after which everything is still wanted; undefined when the whole backlog is
   * (nothing came yet, or the first backlog was cut short).
   */
  resumeAfter(): number | undefined {
    return this.#caughtUp ? this.#have[0]?.to : undefined
  }

  /**
   * Holes to ask for now. A hole is asked for at once, again after `patienceMs`, then given up, so that
   * what the gateway no longer keeps is not asked for until the end of time.
   */
  holesToAskFor(nowMs: number, patienceMs: number): readonly SequenceRange[] {
    if (!this.#caughtUp) return []
    const wanted: SequenceRange[] = []
    for (const hole of this.holes()) {
      const key = `${hole.from}-${hole.to}`
      const asked = this.#asked.get(key)
      if (asked !== undefined && nowMs - asked.atMs < patienceMs) continue
      if (asked !== undefined && asked.count >= MOST_REQUESTS) {
        this.note(hole.from, hole.to)
        this.#asked.delete(key)
        continue
      }
      this.#asked.set(key, { count: (asked?.count ?? 0) + 1, atMs: nowMs })
      wanted.push(hole)
    }
    return wanted
  }
}
