import type { Course } from './fault.ts'
import type { OnsetAround, OnsetLevel } from './onset.ts'

const HOUR_S = 3600

/** How large a fault is at each moment, from its onset and its own course. */
export class FaultCourse {
  readonly course: Course
  readonly #onset: OnsetLevel
  readonly #fades: number
  #level = 0
  #before = 0

  /** `fades`: time constant of one that decays, s. */
  constructor(course: Course, onset: OnsetLevel, fades: number) {
    this.course = course
    this.#onset = onset
    this.#fades = fades
  }

  /** Level after a step of `dt` s. */
  step(around: OnsetAround, dt: number): number {
    const there = this.#onset.step(around, dt)
    if (this.course === 'held') this.#level = there
    else if (this.course === 'per hour') this.#level += (there * dt) / HOUR_S
    else this.#level = this.#level * Math.exp(-dt / this.#fades) + Math.max(0, there - this.#before)
    this.#before = there
    return this.#level
  }
}
