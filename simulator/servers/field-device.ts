import { encodeRegister } from '../../lib/codec/encode.ts'
import { WORDS } from '../../lib/codec/types.ts'
import type { MachineState } from '../physics/machine.ts'
import type { Personality, RegisterField, RegisterTable } from './personalities.ts'

/** A device of the plant: which zone it reads, how it shows it, and under which unit id. */
export interface DeviceSpec {
  readonly id: string
  readonly unitId: number
  readonly zone: string
  readonly personality: Personality
  /** TCP port it is documented at. */
  readonly port: number
}

/**
 * One simulated device: turns an instant of the machine into registers. Both sides of one answer
 * come from one instant, because an answer is made from one state. Misbehaviour is switched on
 * from outside: `silent` gives no answer, `hold` repeats the registers of one instant,
 * `force` puts a value of its own into a register.
 */
export class FieldDevice {
  readonly spec: DeviceSpec
  readonly #state: () => MachineState
  readonly #size: number
  readonly #forced = new Map<string, number>()
  #held: readonly number[] | null = null
  silent = false

  constructor(spec: DeviceSpec, state: () => MachineState) {
    this.spec = spec
    this.#state = state
    this.#size = Math.max(...spec.personality.fields.map((field) => field.address + WORDS[field.type]))
  }

  /** `count` registers from `address` of one instant, or null where the device has none. */
  read(table: RegisterTable, address: number, count: number): readonly number[] | null {
    if (!this.spec.personality.tables.includes(table) || address + count > this.#size) return null
    return this.image().slice(address, address + count)
  }

  /** All registers of one instant, from address 0; a gap in the map reads 0. */
  image(): readonly number[] {
    if (this.#held !== null) return this.#held
    const machine = this.#state()
    const zone = machine.zones[this.spec.zone]
    if (zone === undefined) throw new RangeError(`device ${this.spec.id}: there is no zone ${this.spec.zone}`)
    const image = new Array<number>(this.#size).fill(0)
    for (const field of this.spec.personality.fields) {
      const value = this.#forced.get(field.name) ?? field.read(zone, machine)
      encodeRegister(value, field.type, field.order).forEach((word, i) => {
        image[field.address + i] = word
      })
    }
    return image
  }

  /** Freezes the registers as they are now, or lets them run again. */
  hold(on: boolean): void {
    this.#held = on ? this.image() : null
  }

  /** Puts `value` into a register from now on; null takes it out again. Throws RangeError where it cannot be. */
  force(name: string, value: number | null): void {
    const field = this.#field(name)
    if (value === null) {
      this.#forced.delete(name)
      return
    }
    encodeRegister(value, field.type, field.order)
    this.#forced.set(name, value)
  }

  #field(name: string): RegisterField {
    const { fields } = this.spec.personality
    const field = fields.find((candidate) => candidate.name === name)
    if (field !== undefined) return field
    throw new RangeError(
      `device ${this.spec.id} has no register ${name}; it has ${fields.map((f) => f.name).join(', ')}`,
    )
  }
}
