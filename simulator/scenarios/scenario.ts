import type { MachineParameters } from '../physics/machine.ts'
import type { Programme } from '../physics/programme.ts'
import type { DeviceSpec } from '../servers/field-device.ts'
import type { IioBoard } from '../servers/iio-tree.ts'

/** A plant, what it is told to do, and the devices that watch it: data. */
export interface Scenario {
  readonly id: string
  /** One line for the list of scenarios. */
  readonly title: string
  /** A fresh set, because a run may change any of them. */
  parameters(): MachineParameters
  readonly programme: Programme
  readonly devices: readonly DeviceSpec[]
  /** What --iio shows. */
  readonly iio: IioBoard
  /** The gateway's config file that belongs to it. */
  readonly configFile: URL
}
