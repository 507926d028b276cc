import type { BothEnds } from '../physics/ends.ts'
import { type FitParameters, soundFit } from '../physics/fit.ts'
import { type Hands, NO_HANDS } from '../physics/hands.ts'
import type { Machine, MachineParameters } from '../physics/machine.ts'
import type { ManualCommand } from '../physics/manual.ts'
import type { RandomStream } from '../physics/random.ts'
import type { ZoneParameters, ZoneState } from '../physics/zone.ts'
import type { Locks } from './condition.ts'
import { NotPossible } from './not-possible.ts'

export type Side = keyof BothEnds<unknown>

export interface BenchParts extends Pick<Bench, 'machine' | 'zone' | 'locks' | 'sound' | 'random'> {
  readonly pass: (machine: Machine, seconds: number) => void
}

/** The machine at the zone somebody works at, as an act gets it. */
export class Bench {
  readonly machine: Machine
  readonly zone: string
  readonly locks: Locks
  /** The line as drawn and sound: what a repair brings back. */
  readonly sound: MachineParameters
  /** Of this one act: two readings of one thing differ as they would. */
  readonly random: RandomStream
  readonly #pass: BenchParts['pass']
  #passed = 0

  constructor(at: BenchParts) {
    this.machine = at.machine
    this.zone = at.zone
    this.locks = at.locks
    this.sound = at.sound
    this.random = at.random
    this.#pass = at.pass
  }

  /** Seconds that went by in `pass`. */
  get passed(): number {
    return this.#passed
  }

  get parameters(): ZoneParameters {
    return zoneOf(this.machine, this.zone)
  }

  /** This zone as drawn and sound. */
  get soundZone(): ZoneParameters {
    return this.sound.zones[this.zone] as ZoneParameters
  }

  /** How the roller is fitted, to be changed. */
  get fit(): FitParameters {
    this.parameters.fit ??= soundFit()
    return this.parameters.fit
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
    this.#pass(this.machine, seconds)
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
