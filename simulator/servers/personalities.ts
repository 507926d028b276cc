import type { RegisterOrder, RegisterType } from '../../shared/schemas/config.ts'
import type { CellState } from '../physics/cell.ts'
import type { BothEnds } from '../physics/ends.ts'
import type { MachineState } from '../physics/machine.ts'
import type { ZoneState } from '../physics/zone.ts'

/** The two Modbus tables a 16-bit value may live in: function 03 reads holding, 04 reads input registers. */
export type RegisterTable = 'holding' | 'input'

/** One value in the register map of a device. */
export interface RegisterField {
  readonly name: string
  /** 0-based offset. */
  readonly address: number
  readonly type: RegisterType
  readonly order: RegisterOrder
  /** Value in the device's own unit, of one instant. */
  read(zone: ZoneState, machine: MachineState): number
}

/** How a device shows its zone on the wire: data, one per kind of device. */
export interface Personality {
  readonly title: string
  readonly tables: readonly RegisterTable[]
  readonly fields: readonly RegisterField[]
}

const perMinute = (metresPerSecond: number) => metresPerSecond * 60

/** Bits of the amplifier's status word. */
export const STATUS = {
  driveSideOpen: 1,
  operatorSideOpen: 2,
  driveSideSaturated: 4,
  operatorSideSaturated: 8,
} as const

function statusWord({ cells }: ZoneState): number {
  return (
    (cells.drive_side.open ? STATUS.driveSideOpen : 0) |
    (cells.operator_side.open ? STATUS.operatorSideOpen : 0) |
    (cells.drive_side.saturated ? STATUS.driveSideSaturated : 0) |
    (cells.operator_side.saturated ? STATUS.operatorSideSaturated : 0)
  )
}

/** A two-channel amplifier whose input registers hold float32 with the words swapped (CDAB). */
export function floatAmplifier(): Personality {
  const float = { type: 'float32', order: 'CDAB' } as const
  return {
    title: 'two-channel amplifier, float32 in input registers, words swapped',
    tables: ['input'],
    fields: [
      { ...float, name: 'drive_side', address: 0, read: (zone) => zone.cells.drive_side.output },
      { ...float, name: 'operator_side', address: 2, read: (zone) => zone.cells.operator_side.output },
      { ...float, name: 'speed', address: 4, read: (_, machine) => perMinute(machine.speed) },
      { ...float, name: 'set_tension', address: 6, read: (zone) => zone.setTension },
      { ...float, name: 'temperature', address: 8, read: (_, machine) => machine.ambient },
      { name: 'status', address: 10, type: 'uint16', order: 'ABCD', read: statusWord },
    ],
  }
}

/** The same beside a winder: the diameter of the roll after the measuring roller, in mm, after the status word. */
export function winderAmplifier(): Personality {
  const { title, tables, fields } = floatAmplifier()
  const diameter = { name: 'roll_diameter', address: 11, type: 'float32', order: 'CDAB' } as const
  return {
    title: `${title}, with the diameter of the winding roll`,
    tables,
    fields: [...fields, { ...diameter, read: (zone) => zone.nextDiameter * 1000 }],
  }
}

/** What 4 mA and 20 mA stand for. */
interface CurrentRange {
  readonly at4: number
  readonly at20: number
}

/** NAMUR NE 43: a healthy transmitter stays within 3.8 to 20.5 mA, a failed one goes to 3.6 mA or less. */
const NE43 = { low: 3.8, high: 20.5, failure: 3.5 } as const
/** The module turns 0–20 mA into 0–20 000 counts. */
const COUNTS_PER_MA = 1000

function loopCurrent(value: number, range: CurrentRange): number {
  const current = 4 + (16 * (value - range.at4)) / (range.at20 - range.at4)
  return Math.min(NE43.high, Math.max(NE43.low, current))
}

function cellCurrent(cell: CellState, range: CurrentRange): number {
  return cell.open ? NE43.failure : loopCurrent(cell.output, range)
}

export interface CurrentModuleRanges {
  /** mV/V of each channel's transmitter. */
  readonly cells: BothEnds<CurrentRange>
  /** m/min */
  readonly speed: CurrentRange
  /** N */
  readonly setTension: CurrentRange
}

/** A four-channel current-input module: int16 counts of four 4–20 mA loops, in both tables. */
export function currentModule(ranges: CurrentModuleRanges): Personality {
  const counts = { type: 'int16', order: 'ABCD' } as const
  const channel = (name: string, address: number, milliamps: (zone: ZoneState, machine: MachineState) => number) => ({
    ...counts,
    name,
    address,
    read: (zone: ZoneState, machine: MachineState) => Math.round(milliamps(zone, machine) * COUNTS_PER_MA),
  })
  return {
    title: 'four-channel current-input module, int16, 0–20 mA as 0–20000 counts',
    tables: ['input', 'holding'],
    fields: [
      channel('drive_side', 0, (zone) => cellCurrent(zone.cells.drive_side, ranges.cells.drive_side)),
      channel('operator_side', 1, (zone) => cellCurrent(zone.cells.operator_side, ranges.cells.operator_side)),
      channel('speed', 2, (_, machine) => loopCurrent(perMinute(machine.speed), ranges.speed)),
      channel('set_tension', 3, (zone) => loopCurrent(zone.setTension, ranges.setTension)),
    ],
  }
}
