import { SlowWander } from './noise.ts'
import { RandomStream } from './random.ts'

/** Air in the hall, °C: it warms over the shift and wanders a little. */
export interface AmbientParameters {
  start: number
  /** Rise that is approached, K, with this time constant, s. */
  rise: number
  riseTime: number
  /** Standard deviation of the wander, K. */
  wander: number
}

const WANDER_TIME_S = 300

export class Ambient {
  readonly #parameters: AmbientParameters
  readonly #wander: SlowWander

  constructor(parameters: AmbientParameters, seed: number) {
    this.#parameters = parameters
    this.#wander = new SlowWander(new RandomStream(seed, 'ambient'), WANDER_TIME_S)
  }

  /** Temperature at `time`, after a step of `dt`, °C. */
  step(time: number, dt: number): number {
    const { start, rise, riseTime, wander } = this.#parameters
    return start + rise * (1 - Math.exp(-time / riseTime)) + wander * this.#wander.step(dt)
  }
}
