import type { CyclePoint, Level } from './series.ts'
import { halfDifferenceSlope, halfDifferences } from './up-down.ts'

/** One point of the calibration: what one cycle says of one force, up and down meaned. */
export interface CalibrationPoint {
  readonly force: number
  readonly cycle: number
  readonly reading: number
  /** How many readings it is the mean of: the line weighs a point by it where nothing is stated. */
  readonly readings: number
  /** Stated standard uncertainty; null when not stated. */
  readonly u: number | null
  /** Signed standard uncertainty of the correction for a direction that was not read; 0 when both were. */
  readonly uDirection: number
}

/**
 * The points the line is fitted to.
 *
 * Read both ways, a force gives its mean. Read one way only, as the highest weight usually is, the missing half
 * of the loop lies between nothing (hysteresis closes where the direction turns) and the half-difference seen at
 * the other weights in proportion to the force (friction does not): half of that, h/2, is taken off. It is the one
 * or the other and not something between, so u = h/2, the standard deviation of two equally likely values h apart
 * (JCGM 100, 4.3.5 in spirit). In a series read one way only nothing is known and nothing is taken off.
 */
export function calibrationPoints(levels: readonly Level[]): CalibrationPoint[] {
  const perNewton = halfDifferenceSlope(halfDifferences(levels))?.perNewton ?? 0
  return levels.flatMap(({ force, cycles }) => cycles.flatMap((point) => pointOf(force, point, perNewton * force)))
}

function pointOf(force: number, { cycle, up, down, uUp, uDown }: CyclePoint, half: number): CalibrationPoint[] {
  if (up !== null && down !== null)
    return [{ force, cycle, reading: (up + down) / 2, readings: 2, u: meanU(uUp, uDown), uDirection: 0 }]
  const uDirection = half / 2
  if (up !== null) return [{ force, cycle, reading: up - half / 2, readings: 1, u: uUp, uDirection }]
  if (down !== null) return [{ force, cycle, reading: down + half / 2, readings: 1, u: uDown, uDirection: -uDirection }]
  return []
}

const meanU = (a: number | null, b: number | null): number | null =>
  a === null || b === null ? null : Math.hypot(a, b) / 2
