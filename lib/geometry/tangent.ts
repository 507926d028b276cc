import { ImpossiblePath } from './path-fault.ts'
import { add, angleOf, length, quarterTurn, subtract, times, unitAt, type Vector } from './vector.ts'

/** A roller of the web path in the side view; every roller of a path has a name of its own. */
export interface Roller {
  readonly name: string
  readonly centre: Vector
  /** m */
  readonly radius: number
  /** The way the web turns it: +1 counter-clockwise, −1 clockwise. This is the side on which the web passes. */
  readonly turn: 1 | -1
}

/** A free span between two rollers. */
export interface Span {
  /** Unit vector of web travel, and its angle, rad counter-clockwise from +x. */
  readonly direction: Vector
  readonly angle: number
  readonly from: Vector
  readonly to: Vector
  /** m */
  readonly length: number
}

/**
 * The straight span from one roller to the next: the common tangent of two circles, external
 * when both turn the same way and internal when they turn opposite ways.
 *
 * A roller that turns by `s` under web running along `u` touches it at centre − s·r·(u turned by
 * a quarter), because its surface there moves along u. With D between the centres and
 * q = s₂r₂ − s₁r₁ the span is √(D² − q²) long and D = length·u + q·(u turned by a quarter).
 * Rollers that just touch (a nip) have a span of length 0 where the web crosses between them.
 * Throws ImpossiblePath naming both rollers when they overlap, or the one whose figures are no circle.
 * Source: plane geometry of two circles.
 */
export function spanBetween(first: Roller, second: Roller): Span {
  checkCircle(first)
  checkCircle(second)
  const between = subtract(second.centre, first.centre)
  const distance = length(between)
  const overlap = first.radius + second.radius - distance
  if (overlap > TOUCHING * distance)
    throw new ImpossiblePath({ kind: 'rollers-overlap', from: first.name, to: second.name, overlap })
  const q = second.turn * second.radius - first.turn * first.radius
  const spanLength = Math.sqrt(Math.max(0, distance * distance - q * q))
  const angle = angleOf(between) - Math.atan2(q, spanLength)
  const direction = unitAt(angle)
  return {
    direction,
    angle,
    from: contactPoint(first, direction),
    to: contactPoint(second, direction),
    length: spanLength,
  }
}

/** Rounding of coordinates does not make an overlap. */
const TOUCHING = 1e-12

function checkCircle({ name, centre, radius }: Roller): void {
  if (!(radius > 0) || !Number.isFinite(radius) || !Number.isFinite(centre.x) || !Number.isFinite(centre.y))
    throw new ImpossiblePath({ kind: 'no-circle', roller: name })
}

function contactPoint(roller: Roller, direction: Vector): Vector {
  return add(roller.centre, times(quarterTurn(direction), -roller.turn * roller.radius))
}
