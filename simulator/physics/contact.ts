import type { RandomStream } from './random.ts'

/** How much more often a bad contact breaks while its cable is moved. */
const WIGGLED_FACTOR = 40
/** Mean length of a break, s. */
export const BREAK_S = 0.03

/** A contact that breaks for moments: breaks come at random, each as long as chance has it (exponential). */
export class Contact {
  readonly #random: RandomStream
  #openFor = 0

  constructor(random: RandomStream) {
    this.#random = random
  }

  /** Whether it is open during this step of `dt` s, at `rate` breaks a second while the cable lies still. */
  step(rate: number, wiggled: boolean, dt: number): boolean {
    if (rate === 0) return false
    this.#openFor -= dt
    const chance = rate * (wiggled ? WIGGLED_FACTOR : 1) * dt
    if (this.#random.uniform() < chance) this.#openFor = -BREAK_S * Math.log(1 - this.#random.uniform())
    return this.#openFor > 0
  }
}
