import { z } from 'zod'
import type { Machine, MachineParameters } from '../physics/machine.ts'
import { RandomStream } from '../physics/random.ts'
import type { Act, Observation } from './act.ts'
import { Bench, zoneOf } from './bench.ts'
import { type Condition, conditionOf, type Locks, type Refusal, refusalIn } from './condition.ts'
import { NotPossible } from './not-possible.ts'
import { passTime } from './pass-time.ts'
import { ACTS, isActId } from './registry.ts'

/** One line of what was done, or was not allowed to be. */
export interface Deed {
  readonly act: string
  readonly zone: string
  readonly args: Readonly<Record<string, unknown>>
  /** Seconds it cost; a refused one costs none. */
  readonly seconds: number
  /** The machine's time after it, s. */
  readonly at: number
  readonly refused: Refusal | null
  readonly observation: Observation | null
}

/** What all deeds came to. */
export interface Tally {
  readonly seconds: number
  readonly done: number
  /** Not done because the state does not allow it; of these, how many somebody could have been hurt by. */
  readonly refused: number
  readonly unsafe: number
}

export interface ActResult {
  readonly observation?: Observation
  readonly refused?: Refusal
  readonly seconds: number
  readonly state: Condition
  readonly tally: Tally
}

/** What a technician may be given. */
export interface Given {
  /** The line as drawn, which repairs bring back; where it is left out, as it is now. */
  readonly sound: MachineParameters
  /** How the machine's time goes by. */
  readonly pass: (machine: Machine, seconds: number) => void
}

/** Who works at the simulated machine: does acts one after another, keeps to the safety rules, counts time. Same seed, same readings. */
export class Technician {
  readonly #machine: Machine
  readonly #seed: number
  readonly #sound: MachineParameters
  readonly #pass: Given['pass']
  readonly #locks: Locks = { lockedOut: false, guards: 'closed' }
  readonly #deeds: Deed[] = []

  /** Same machine, seed and acts: same readings. */
  constructor(machine: Machine, seed: number, given: Partial<Given> = {}) {
    this.#machine = machine
    this.#seed = seed
    this.#sound = given.sound ?? structuredClone(machine.parameters)
    this.#pass = given.pass ?? passTime
  }

  get deeds(): readonly Deed[] {
    return this.#deeds
  }

  get tally(): Tally {
    return tallyOf(this.#deeds)
  }

  /** State of the machine at `zone`; the line's first where none is named. */
  condition(zone = this.#firstZone()): Condition {
    return conditionOf(this.#machine, zoneOf(this.#machine, zone), this.#locks)
  }

  /** The line runs by hand from now on, or by its programme again. Throws NotPossible while somebody works at it. */
  manual(on: boolean): Condition {
    if (on) this.#bench('manual', this.#firstZone()).command({})
    else this.#giveBack()
    return this.condition()
  }

  /**
   * Does an act with its arguments, beside them `zone`. An act that the state does not allow is refused with the
   * reason and counted. Throws NotPossible for an act or argument there is not, and for what cannot be done as said.
   */
  do(id: string, said: Readonly<Record<string, unknown>> = {}): ActResult {
    if (!isActId(id)) throw new NotPossible(`there is no act ${id}; there are ${Object.keys(ACTS).join(', ')}`)
    const { zone = this.#firstZone(), ...rest } = said
    if (typeof zone !== 'string') throw new NotPossible('zone: give the id of a zone')
    const act: Act = ACTS[id]
    const args = argsOf(act, rest)
    const refused = refusalIn(this.condition(zone), act.needs) ?? this.#elsewhere(act, zone)
    const bench = this.#bench(id, zone)
    const observation = refused === null ? act.run(bench, args) : null
    const seconds = observation === null ? 0 : act.seconds + bench.passed
    // The act's own time goes by on the machine too: it warms, drifts and wears meanwhile.
    if (observation !== null) bench.pass(act.seconds)
    this.#deeds.push({ act: id, zone, args, seconds, at: this.#machine.state.time, refused, observation })
    return {
      ...(observation === null ? {} : { observation }),
      ...(refused === null ? {} : { refused }),
      seconds,
      state: this.condition(zone),
      tally: this.tally,
    }
  }

  /** The line is one machine: what moves it must find every zone free of hands. */
  #elsewhere({ needs }: Act, zone: string): Refusal | null {
    if (needs.free !== true) return null
    for (const id of Object.keys(this.#machine.parameters.zones)) {
      const found = id === zone ? null : refusalIn(this.condition(id), { free: true })
      if (found !== null) return { ...found, reason: `zone ${id}: ${found.reason}` }
    }
    return null
  }

  #giveBack(): void {
    const zones = Object.entries(this.#machine.parameters.zones)
    const busy = zones.find(([id, { hands }]) => {
      const { loads } = this.condition(id)
      return loads.length > 0 || hands?.webOff === true || hands?.rollerLifted === true
    })
    if (this.#locks.lockedOut || this.#locks.guards === 'open' || busy !== undefined) {
      throw new NotPossible('somebody works at the machine: unlock it, with web in, rollers down and nothing hung on')
    }
    this.#machine.takeOver(null)
  }

  #bench(id: string, zone: string): Bench {
    const random = new RandomStream(this.#seed, `act/${this.#deeds.length}/${id}`)
    const parts = { machine: this.#machine, locks: this.#locks, sound: this.#sound, pass: this.#pass }
    return new Bench({ ...parts, zone, random })
  }

  #firstZone(): string {
    return Object.keys(this.#machine.parameters.zones)[0] ?? ''
  }
}

export function tallyOf(deeds: readonly Pick<Deed, 'seconds' | 'refused'>[]): Tally {
  const refused = deeds.filter((deed) => deed.refused !== null)
  return {
    seconds: deeds.reduce((sum, deed) => sum + deed.seconds, 0),
    done: deeds.length - refused.length,
    refused: refused.length,
    unsafe: refused.filter((deed) => deed.refused?.unsafe === true).length,
  }
}

function argsOf(act: Act, said: Record<string, unknown>): Record<string, unknown> {
  const parsed = act.args.safeParse(said)
  if (parsed.success) return parsed.data
  throw new NotPossible(`${act.id}: ${z.prettifyError(parsed.error).replaceAll('\n', ' ')}`)
}
