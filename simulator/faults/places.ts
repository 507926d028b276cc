import type { CellParameters } from '../physics/cell.ts'
import { atAngle, dot, length } from '../physics/vector.ts'
import type { FaultPlace, Side } from './fault.ts'

export const BOTH: readonly Side[] = ['drive_side', 'operator_side']

/** The side a fault sits on. Throws RangeError where none is named. */
export function sideOf(place: FaultPlace): Side {
  if (place.side !== null) return place.side
  throw new RangeError('this fault sits on one side: name drive_side or operator_side')
}

export const cellOf = ({ zone }: FaultPlace, side: Side): CellParameters => zone.cells[side]
export const inCell = (side: Side, name: keyof CellParameters) => `cells.${side}.${name}`
export const inEnd = (side: Side, name: string) => `fit.ends.${side}.${name}`

/** A share of the span in %, as signal, mV/V, and as force, N. */
export const signalShare = (cell: CellParameters, percent: number) => (percent / 100) * cell.ratedOutput
export const forceShare = (cell: CellParameters, percent: number) => (percent / 100) * cell.capacity

/** Force of the working web on one end, N: half of the resultant. */
export const webOnEnd = ({ pull, tension }: FaultPlace) => (tension * length(pull)) / 2

/** Turn of an arrow, rad, that makes it lean downstream (+x) by `degrees`, whichever way it points. */
export function leanDownstream(arrow: number, degrees: number): number {
  const radians = (degrees * Math.PI) / 180
  return Math.sin(arrow) > 0 ? -radians : radians
}

/** Signal of one side at the working point without noise, mV/V: its half of web and weight along its arrow. */
export function workingSignal(place: FaultPlace, side: Side, gravity = 9.80665): number {
  const cell = cellOf(place, side)
  const { pull, tension, zone } = place
  const load = { x: pull.x * tension, y: pull.y * tension - zone.roller.mass * gravity }
  const force = dot(atAngle(cell.arrow), load) / 2
  return cell.zeroBalance + (cell.gain * cell.ratedOutput * force) / cell.capacity
}
