import type { Roller } from './tangent.ts'
import { add, times, unitAt, type Vector } from './vector.ts'

/**
 * A neighbour of the measuring roller that moves, and the one value that tells where it is: the radius of a winding
 * roll (m), or the angle of a dancer's arm (rad counter-clockwise from +x). The value is typed or a live channel.
 */
export type MovingNeighbour =
  | {
      readonly kind: 'winding-roll'
      readonly at: 'before' | 'after'
      readonly coreRadius: number
      readonly fullRadius: number
    }
  | {
      readonly kind: 'dancer-arm'
      readonly at: 'before' | 'after'
      readonly pivot: Vector
      readonly armLength: number
      readonly lowestAngle: number
      readonly highestAngle: number
    }

/** The neighbour as it is at `value`; its name and the way it turns stay. */
export function neighbourAt(drawn: Roller, moving: MovingNeighbour, value: number): Roller {
  if (moving.kind === 'winding-roll') return { ...drawn, radius: value }
  return { ...drawn, centre: add(moving.pivot, times(unitAt(value), moving.armLength)) }
}

/** The ends of the neighbour's range: core and full roll, or lowest and highest arm. */
export function rangeOf(moving: MovingNeighbour): readonly [from: number, to: number] {
  return moving.kind === 'winding-roll'
    ? [moving.coreRadius, moving.fullRadius]
    : [moving.lowestAngle, moving.highestAngle]
}
