import type { ZoneParameters } from '../physics/zone.ts'
import { type Change, changed, type ParameterValue } from './change.ts'
import { readParameter, writeParameter } from './parameter.ts'

/** One fault's part in one parameter. */
export interface Part {
  readonly change: Change
  readonly zone: ZoneParameters
  /** Without this fault, and with it at full size, when it was put in. */
  readonly sound: ParameterValue
  readonly faulty: ParameterValue
  level: number
  /** Somebody else has written the parameter since. */
  letGo: boolean
}

interface Entry {
  base: ParameterValue
  written: ParameterValue
  parts: Part[]
}

/** Who changes which parameter: several faults add up on one, and a parameter that a repair has written is let go of. */
export class Ledger {
  readonly #entries = new Map<ZoneParameters, Map<string, Entry>>()

  /** A fault's part in a parameter, at level 0. Throws RangeError where there is no such parameter. */
  open(zone: ZoneParameters, change: Change): Part {
    const sound = readParameter(zone, change.path)
    const part = { change, zone, sound, faulty: changed(sound, change, 1), level: 0, letGo: false }
    const entry = this.#entry(zone, change.path)
    if (entry.parts.length === 0) Object.assign(entry, { base: sound, written: sound })
    this.#letGoWhereRepaired(entry, part)
    entry.parts.push(part)
    return part
  }

  /** Brings a part to a level; true when that has moved the web's path. */
  set(part: Part, level: number): boolean {
    const { zone, change } = part
    const entry = this.#entry(zone, change.path)
    this.#letGoWhereRepaired(entry, part)
    part.level = level
    if (part.letGo) return false
    const value = entry.parts.reduce((sum, one) => changed(sum, one.change, one.level), entry.base)
    if (value === entry.written) return false
    writeParameter(zone, change.path, value)
    entry.written = value
    return change.path.startsWith('path.')
  }

  /** Ends a part; true when that has moved the web's path. */
  close(part: Part): boolean {
    const moved = this.set(part, 0)
    const entry = this.#entry(part.zone, part.change.path)
    entry.parts = entry.parts.filter((other) => other !== part)
    return moved
  }

  /** The parameter still is what the faults have made of it. */
  holds({ zone, change, letGo }: Part): boolean {
    return !letGo && readParameter(zone, change.path) === this.#entry(zone, change.path).written
  }

  #letGoWhereRepaired(entry: Entry, { zone, change }: Part): void {
    const now = readParameter(zone, change.path)
    if (now === entry.written) return
    for (const part of entry.parts) part.letGo = true
    Object.assign(entry, { base: now, written: now, parts: [] })
  }

  #entry(zone: ZoneParameters, path: string): Entry {
    const paths = this.#entries.get(zone) ?? new Map<string, Entry>()
    this.#entries.set(zone, paths)
    const now = readParameter(zone, path)
    const entry = paths.get(path) ?? { base: now, written: now, parts: [] }
    paths.set(path, entry)
    return entry
  }
}
