import type { MachineState } from '../physics/machine.ts'
import type { ZoneParameters } from '../physics/zone.ts'
import type { ActiveFault } from './active.ts'
import type { Change } from './change.ts'
import type { FaultCourse } from './course.ts'
import type { Fault } from './fault.ts'
import type { Ledger, Part } from './ledger.ts'
import { readParameter } from './parameter.ts'

/** Where a fault is put in: its zone, how it goes on, since when, and whose parameters are whose. */
export interface Into {
  readonly zone: ZoneParameters
  readonly course: FaultCourse
  readonly at: number
  readonly ledger: Ledger
}

/** Nearer to the sound value than this share of the fault, it is as good as mended. */
const GOOD_AS_MENDED = 0.25

/** A fault in the machine: holds its parameters at its level until somebody else writes them. */
export class PutIn {
  readonly active: ActiveFault
  readonly fault: Fault
  readonly #into: Into
  readonly #parts: readonly Part[]
  #level = 0

  constructor(active: ActiveFault, fault: Fault, changes: readonly Change[], into: Into) {
    this.active = active
    this.fault = fault
    this.#into = into
    this.#parts = changes.map((change) => into.ledger.open(into.zone, change))
  }

  get level(): number {
    return this.#level
  }

  /** Has to be looked at in every step. */
  get moves(): boolean {
    return this.active.onset.kind !== 'constant' || this.#into.course.course !== 'held'
  }

  /** A repair has brought back what it had changed, or time has. */
  get mended(): boolean {
    return this.#parts.every((part) => part.change.beside === true || this.#isMended(part))
  }

  /** Goes on to its level after `dt` s; true when the path of the web has changed. */
  step({ time, ambient, speed }: MachineState, dt: number): boolean {
    const before = this.#level
    this.#level = this.#into.course.step({ since: time + dt - this.#into.at, ambient, speed }, dt)
    if (this.#level === before) return false
    const moved = this.#parts.map((part) => this.#into.ledger.set(part, this.#level))
    return moved.includes(true)
  }

  /** Gives back what nobody else has written since; true when the path of the web has changed. */
  takeOut(): boolean {
    return this.#parts.map((part) => this.#into.ledger.close(part)).includes(true)
  }

  #isMended(part: Part): boolean {
    const { zone, course, ledger } = this.#into
    if (this.moves && course.course !== 'decaying' && ledger.holds(part)) return false
    const now = readParameter(zone, part.change.path)
    if (typeof now !== 'number') return now === part.sound
    return Math.abs(now - Number(part.sound)) <= GOOD_AS_MENDED * Math.abs(Number(part.faulty) - Number(part.sound))
  }
}
