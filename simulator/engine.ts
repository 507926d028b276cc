import type { Machine, MachineState } from './physics/machine.ts'

/** Longest wall time that is caught up step by step, s; a longer pause of the process is skipped and counted. */
const LONGEST_CATCH_UP_S = 5

/**
 * Keeps the machine's time beside the clock. Nothing runs on its own: whoever looks at the state
 * first brings it up to now, so that no answer is late and no timer's drift adds up.
 */
export class Engine {
  readonly #machine: Machine
  /** Monotonic clock, s. */
  readonly #now: () => number
  readonly #step: number
  readonly #timeScale: number
  #anchor: number
  #stepsDone = 0
  #pausedAt: number | null = null
  #skipped = 0

  constructor(machine: Machine, now: () => number, options: { readonly step: number; readonly timeScale: number }) {
    this.#machine = machine
    this.#now = now
    this.#step = options.step
    this.#timeScale = options.timeScale
    this.#anchor = now()
  }

  /** Wall time that was not simulated because the process was held up, s. */
  get skippedSeconds(): number {
    return this.#skipped
  }

  get paused(): boolean {
    return this.#pausedAt !== null
  }

  /** The state now. */
  state(): MachineState {
    if (this.#pausedAt !== null) return this.#machine.state
    const now = this.#now()
    const late = now - this.#anchor - (this.#stepsDone * this.#step) / this.#timeScale
    if (late > LONGEST_CATCH_UP_S) {
      this.#skipped += late
      this.#anchor += late
    }
    const due = Math.floor(((now - this.#anchor) * this.#timeScale) / this.#step)
    for (; this.#stepsDone < due; this.#stepsDone++) this.#machine.step(this.#step)
    return this.#machine.state
  }

  /** Stops simulated time; the state stays as it is. */
  pause(): void {
    this.state()
    this.#pausedAt ??= this.#now()
  }

  /** Lets time run on from where it stopped. */
  resume(): void {
    if (this.#pausedAt === null) return
    this.#anchor += this.#now() - this.#pausedAt
    this.#pausedAt = null
  }
}
