import type { Machine, MachineState } from '../physics/machine.ts'
import type { Programme } from '../physics/programme.ts'
import { RandomStream } from '../physics/random.ts'
import type { ZoneParameters } from '../physics/zone.ts'
import type { ActiveFault } from './active.ts'
import { FaultCourse } from './course.ts'
import type { Fault, FaultPlace } from './fault.ts'
import { Ledger } from './ledger.ts'
import { OnsetLevel } from './onset.ts'
import { writeOut } from './parameter.ts'
import { PutIn } from './put-in.ts'
import { FAULTS } from './registry.ts'
import { workingPoint } from './working-point.ts'

/** A fault that was put in, and whether a repair has ended it since. */
export interface FaultTold extends ActiveFault {
  readonly title: string
  /** 0 to 1 of its severity now; hours for one whose severity is a rate. */
  readonly level: number
  readonly mended: boolean
}

/**
 * The faults of one machine. What a fault changes are the machine's own parameters, which a technician's acts change too:
 * what a repair has put right stays right, because a parameter that somebody else has written since is let go of.
 */
export class Faults {
  readonly #machine: Machine
  readonly #programme: Programme
  readonly #seed: number
  readonly #ledger = new Ledger()
  #putIn: PutIn[] = []
  #count = 0

  constructor(machine: Machine, programme: Programme, seed: number) {
    this.#machine = machine
    this.#programme = programme
    this.#seed = seed
  }

  /** Puts a fault in. Throws RangeError where it cannot be there like this; nothing is changed then. */
  add(active: ActiveFault): void {
    const fault = FAULTS[active.fault]
    checkFault(fault, active)
    if (active.severity === 0) return
    const zone = this.#zone(active.zone)
    writeOut(zone)
    const changes = fault.changes(this.#place(active, zone), active.severity)
    const random = new RandomStream(this.#seed, `fault/${this.#count++}/${active.fault}`)
    const thermalTime = zone.cells[active.side ?? 'drive_side'].thermalTime
    const course = new FaultCourse(fault.course ?? 'held', new OnsetLevel(active.onset, random), thermalTime)
    const added = new PutIn(active, fault, changes, {
      zone,
      course,
      at: this.#machine.state.time,
      ledger: this.#ledger,
    })
    this.#putIn.push(added)
    try {
      this.#step(this.#machine.state, 0)
    } catch (error) {
      this.#remove(added)
      throw error
    }
    this.#drive()
  }

  /** Takes every fault out; what has been repaired since stays as it is. */
  clear(): void {
    for (const one of [...this.#putIn].reverse()) this.#remove(one)
    this.#drive()
  }

  told(): FaultTold[] {
    return this.#putIn.map(({ active, fault, level, mended }) => ({ ...active, title: fault.title, level, mended }))
  }

  #drive(): void {
    const moving = this.#putIn.some((one) => one.moves)
    this.#machine.driveParameters(moving ? (state, dt) => this.#step(state, dt) : null)
  }

  #step(state: MachineState, dt: number): void {
    let rethreaded = false
    for (const one of this.#putIn) rethreaded = one.step(state, dt) || rethreaded
    if (rethreaded) this.#machine.refresh()
  }

  #remove(one: PutIn): void {
    if (one.takeOut()) this.#machine.refresh()
    this.#putIn = this.#putIn.filter((other) => other !== one)
  }

  #zone(id: string): ZoneParameters {
    const { zones } = this.#machine.parameters
    const found = Object.hasOwn(zones, id) ? zones[id] : undefined
    if (found !== undefined) return found
    throw new RangeError(`there is no zone ${id}; there are ${Object.keys(zones).join(', ')}`)
  }

  #place({ zone: id, side }: ActiveFault, zone: ZoneParameters): FaultPlace {
    const { speed, tension } = workingPoint(this.#programme, id)
    const pull = this.#machine.resultant(id)
    const wrap = this.#machine.state.zones[id]?.wrap ?? 0
    return { zone, side, mainsHz: this.#machine.parameters.mainsHz, speed, tension, pull, wrap }
  }
}

function checkFault({ id, sides, severity, onsets }: Fault, active: ActiveFault): void {
  if (sides === 'one' && active.side === null)
    throw new RangeError(`${id} sits on one side: say drive_side or operator_side`)
  if (sides !== 'one' && active.side !== null) throw new RangeError(`${id} sits on no side of its own: say side null`)
  const lowest = severity.eitherWay === true ? -severity.most : 0
  if (!(active.severity >= lowest && active.severity <= severity.most)) {
    throw new RangeError(
      `${id}: a severity from ${lowest} to ${severity.most} ${severity.unit}, not ${active.severity}`,
    )
  }
  if (!onsets.includes(active.onset.kind))
    throw new RangeError(`${id} comes ${onsets.join(', ')}, not ${active.onset.kind}`)
}
