import type { EndFit } from './fit.ts'
import type { RandomStream } from './random.ts'

/** A loose end sits anew after the force on it has moved this many times its looseness. */
const SITS_ANEW_AFTER = 10
/** Share of the looseness that rattles once per turn. */
const RATTLE = 0.3

/** What of the force on one end reaches its cell: a bound end passes some by and holds some back, a loose one jumps. */
export class Seat {
  readonly #random: RandomStream
  #felt: number | null = null
  #before = 0
  #moved = 0
  #jump = 0

  constructor(random: RandomStream) {
    this.#random = random
  }

  /**
   * Force in the cell, N, for the force along its arrow. Friction holds the cell's force until the outer one is more
   * than `bindFriction` away from it (play operator; Coulomb friction without mass). `angle` is the roller's, rad; null
   * while it stands.
   */
  step(force: number, end: EndFit, angle: number | null): number {
    const through = (1 - end.bindShare) * force
    const felt = this.#felt ?? through
    this.#felt = Math.min(through + end.bindFriction, Math.max(through - end.bindFriction, felt))
    return end.looseness === 0 ? this.#felt : this.#felt + this.#loose(force, end.looseness, angle)
  }

  /** The roller is lifted off: nothing is held, and it sits anew when it comes down. */
  lift(): number {
    this.#felt = null
    this.#moved = Number.POSITIVE_INFINITY
    return 0
  }

  #loose(force: number, looseness: number, angle: number | null): number {
    this.#moved += Math.abs(force - this.#before)
    this.#before = force
    if (this.#moved > SITS_ANEW_AFTER * looseness) {
      this.#moved = 0
      this.#jump = looseness * this.#random.gaussian()
    }
    const rattle = angle === null ? 0 : RATTLE * looseness * Math.sign(Math.sin(angle))
    return this.#jump + rattle
  }
}
