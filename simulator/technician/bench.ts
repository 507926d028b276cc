import type { BothEnds } from '../physics/ends.ts'
import { type Hands, NO_HANDS } from '../physics/hands.ts'
import type { Machine } from '../physics/machine.ts'
import type { ManualCommand } from '../physics/manual.ts'
import type { RandomStream } from '../physics/random.ts'
import type { ZoneParameters, ZoneState } from '../physics/zone.ts'
import type { Locks } from './condition.ts'
import { NotPossible } from './not-possible.ts'
import { passTime } from './pass-time.ts'

export type Side = keyof BothEnds<unknown>

/** The machine at the zone somebody works at, as an act gets it. */
export class Bench {
  readonly machine: Machine
  readonly zone: string
  readonly locks: Locks
  /** Of this one act: two readings of one thing differ as they would. */
  readonly random: RandomStream
  #passed = 0

  constructor(machine: Machine, zone: string, locks: Locks, random: RandomStream) {
    this.machine = machine
    this.zone = zone
    this.locks = locks
    this.random = random
  }

  /** Seconds that went by in `pass`. */
  get passed(): number {
    return this.#passed
  }

  get parameters(): ZoneParameters {
    return zoneOf(this.machine, this.zone)
  }

  get state(): ZoneState {
    return this.machine.state.zones[this.zone] as ZoneState
  }

  /** What hands do here, to be changed. */
  get hands(): Hands {
    this.parameters.hands ??= { ...NO_HANDS, push: { ...NO_HANDS.push } }
    return this.parameters.hands
  }

  /** Tells the line something by hand; what is not said stays. */
  command(change: Partial<ManualCommand>): void {
    const { speed, setTension, slack } = this.machine.command
    const now = this.machine.manual ?? { speed, setTension, slack, driveEnabled: !slack }
    this.machine.takeOver({ ...now, ...change })
  }

  /** Lets the machine's time go by, faster than the clock, s. */
  pass(seconds: number): void {
    passTime(this.machine, seconds)
    this.#passed += seconds
  }
}

/** The parameters of a zone. Throws NotPossible with the list where there is none of this name. */
export function zoneOf(machine: Machine, id: string): ZoneParameters {
  const { zones } = machine.parameters
  const found = Object.hasOwn(zones, id) ? zones[id] : undefined
  if (found !== undefined) return found
  throw new NotPossible(`there is no zone ${id}; there are ${Object.keys(zones).join(', ')}`)
}
