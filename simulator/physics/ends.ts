import { add, times, type Vec2, vec } from './vector.ts'

/** A force on the roller and where across it acts, from mid-span towards the operator side, m. */
export interface LateralForce {
  readonly force: Vec2
  readonly at: number
}

/** The two ends of the roller. */
export interface BothEnds<T> {
  readonly drive_side: T
  readonly operator_side: T
}

/**
 * Forces on the two cells by the balance of a beam on two supports `cellDistance` apart: moments
 * about the drive side's cell give the operator side's share, and the rest stays. A force outside
 * the supports lifts the far end, as it would. Throws nothing; cellDistance must be positive.
 */
export function forcesOnEnds(loads: readonly LateralForce[], cellDistance: number): BothEnds<Vec2> {
  let total = vec(0, 0)
  let moment = vec(0, 0)
  for (const { force, at } of loads) {
    total = add(total, force)
    moment = add(moment, times(force, at + cellDistance / 2))
  }
  const operator = times(moment, 1 / cellDistance)
  return { drive_side: add(total, times(operator, -1)), operator_side: operator }
}
