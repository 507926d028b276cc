import type { RandomStream } from './random.ts'

/**
 * White noise of a given one-sided density (unit per √Hz), sampled every `dt` seconds: a sample
 * carries the whole band up to 1/(2 dt), so its σ is density·√(1/(2 dt)).
 */
export function whiteNoise(random: RandomStream, density: number, dt: number): number {
  return density === 0 ? 0 : density * Math.sqrt(0.5 / dt) * random.gaussian()
}

/**
 * Gaussian noise with a memory of `tau` seconds and standard deviation 1 (Ornstein–Uhlenbeck),
 * stepped by its exact solution, so that its spread does not depend on the step.
 */
export class CorrelatedNoise {
  readonly #random: RandomStream
  readonly #tau: number
  #value: number
  #dt = Number.NaN
  #decay = 0
  #kick = 0

  constructor(random: RandomStream, tau: number) {
    this.#random = random
    this.#tau = tau
    this.#value = random.gaussian()
  }

  step(dt: number): number {
    if (dt !== this.#dt) {
      this.#dt = dt
      this.#decay = Math.exp(-dt / this.#tau)
      this.#kick = Math.sqrt(1 - this.#decay * this.#decay)
    }
    this.#value = this.#value * this.#decay + this.#kick * this.#random.gaussian()
    return this.#value
  }
}

/**
 * A slow wander with a continuous rate: correlated noise through a lag of the same time constant,
 * scaled back to standard deviation 1 (the lag halves the variance). For things with inertia: a
 * web's path, a drive's speed, a roll's tension.
 */
export class SlowWander {
  readonly #source: CorrelatedNoise
  readonly #tau: number
  #value: number
  #dt = Number.NaN
  #share = 0

  constructor(random: RandomStream, tau: number) {
    this.#source = new CorrelatedNoise(random, tau)
    this.#tau = tau
    this.#value = random.gaussian() * Math.SQRT1_2
  }

  step(dt: number): number {
    if (dt !== this.#dt) {
      this.#dt = dt
      this.#share = 1 - Math.exp(-dt / this.#tau)
    }
    this.#value += (this.#source.step(dt) - this.#value) * this.#share
    return this.#value * Math.SQRT2
  }
}

/** Time constants of the flicker sum, a decade apart, s. */
const FLICKER_TAUS = [0.1, 1, 10, 100] as const

/**
 * 1/f ("flicker") noise as a sum of correlated noises a decade apart, each with standard
 * deviation 1: the sum of such relaxations falls as 1/f between their corners (van der Ziel 1950;
 * from memory).
 */
export class FlickerNoise {
  readonly #parts: readonly CorrelatedNoise[]

  constructor(random: RandomStream) {
    this.#parts = FLICKER_TAUS.map((tau) => new CorrelatedNoise(random, tau))
  }

  step(dt: number): number {
    let sum = 0
    for (const part of this.#parts) sum += part.step(dt)
    return sum
  }
}
