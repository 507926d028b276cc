import type { NewEvent } from '../../shared/schemas/events.ts'
import type { Clock } from '../clock.ts'
import { ClockWatch, LEAST_STEP_MS } from './clock-watch.ts'

export interface ClockReportOptions {
  /** The wall clock, epoch ms. */
  readonly wallMs: () => number
  readonly say: (event: Pick<NewEvent, 'kind' | 'text' | 'data'>) => void
}

/** Writes each step of the wall clock into the trail: what is recorded goes on evenly over it. */
export class ClockReport {
  readonly #options: ClockReportOptions
  readonly #watch = new ClockWatch()
  #clock: Clock | null = null

  constructor(options: ClockReportOptions) {
    this.#options = options
  }

  /** How far the gateway's clock stands ahead of the wall clock; negative: behind it. */
  get aheadMs(): number {
    return this.#watch.aheadMs
  }

  /** Begins to hold this clock, which no sample leads, against the wall clock; what stands between them already is a step. */
  begin(clock: Clock): void {
    this.#clock = clock
    const wallMs = this.#options.wallMs()
    const aheadMs = clock.toEpoch(clock.now()) - wallMs
    this.#watch.look(aheadMs + wallMs, wallMs)
    if (aheadMs >= LEAST_STEP_MS) this.#stepped(-Math.round(aheadMs), wallMs)
  }

  look(): void {
    if (this.#clock === null) return
    const wallMs = this.#options.wallMs()
    const stepMs = this.#watch.look(this.#clock.toEpoch(this.#clock.now()), wallMs)
    if (stepMs !== null) this.#stepped(stepMs, wallMs)
  }

  #stepped(stepMs: number, wallMs: number): void {
    const way = stepMs > 0 ? 'forward' : 'back'
    this.#options.say({
      kind: 'clock-step',
      text: `The wall clock was put ${way} by ${Math.abs(stepMs) / 1000} s; times here go on evenly.`,
      data: { stepMs, wallMs },
    })
  }
}
