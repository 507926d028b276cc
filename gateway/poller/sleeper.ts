/** Longer waits are slept in pieces: a timer of more than 2³¹ ms would end at once. */
const LONGEST_MS = 60_000

/** A sleep of at least whole milliseconds that can be cut short: the caller looks at the clock again. */
export class Sleeper {
  #wake: () => void = () => {}

  sleep(ms: number): Promise<void> {
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, Math.min(LONGEST_MS, Math.ceil(ms)))
      this.#wake = () => {
        clearTimeout(timer)
        resolve()
      }
    })
  }

  wake(): void {
    this.#wake()
  }
}
