/** A state as it is to be seen, newest first come. */
export interface State {
  readonly body: string
  readonly queue: string | null
  readonly seq: number | null
  /** Epoch ms; null: for as long as nothing else is said. */
  readonly validUntilMs: number | null
}

/**
 * The newest state of each topic, and which of them the broker has still to be told. A state that is under way is not
 * overtaken by its successor, and one that was not sent in time is not sent at all.
 */
export class StateBoard {
  readonly #waiting = new Map<string, State>()
  readonly #underWay = new Set<string>()

  set(topic: string, state: State): void {
    this.#waiting.delete(topic)
    this.#waiting.set(topic, state)
  }

  /** Takes the state that waits longest and is still true. */
  take(nowMs: number): { readonly topic: string; readonly state: State } | undefined {
    for (const [topic, state] of this.#waiting) {
      if (this.#underWay.has(topic)) continue
      this.#waiting.delete(topic)
      if (state.validUntilMs !== null && state.validUntilMs <= nowMs) continue
      this.#underWay.add(topic)
      return { topic, state }
    }
    return undefined
  }

  settled(topic: string): void {
    this.#underWay.delete(topic)
  }

  /** The connection is gone. */
  clear(): void {
    this.#waiting.clear()
    this.#underWay.clear()
  }
}
