import { t95 } from '../statistics/student-t.ts'
import { fitPolynomial } from './polynomial-fit.ts'
import type { Level } from './series.ts'

/** Half of up less down at one force, meaned over the cycles that read both. */
export interface HalfDifference {
  readonly force: number
  /** (up − down)/2, in the signal's unit. */
  readonly half: number
  readonly cycles: number
}

/**
 * Half of the difference between reading up and reading down at each force: friction of the rope and of the
 * bearings of every roller it runs over, plus the hysteresis of the cell. The two cannot be told apart by weights
 * alone. Their mean is free of both, and is the calibration. Forces not read both ways in one cycle are left out.
 */
export function halfDifferences(levels: readonly Level[]): HalfDifference[] {
  return levels.flatMap(({ force, cycles }) => {
    const halves = cycles.flatMap(({ up, down }) => (up === null || down === null ? [] : [(up - down) / 2]))
    if (halves.length === 0) return []
    return [{ force, half: halves.reduce((sum, half) => sum + half, 0) / halves.length, cycles: halves.length }]
  })
}

export interface HalfDifferenceSlope {
  /** Signal's unit per newton. */
  readonly perNewton: number
  /** Pairs of up and down at a force other than 0 that it stands on. */
  readonly pairs: number
  /** It is larger than its own scatter explains, at 5 %. Never with a single force. */
  readonly isSeen: boolean
}

/**
 * Half-difference per newton: the straight line through the origin, as friction of a rope round a roller is in
 * proportion to the pull (capstan equation, Beer & Johnston, Vector Mechanics: Statics). Undefined unless a force
 * other than 0 was read both ways.
 */
export function halfDifferenceSlope(halves: readonly HalfDifference[]): HalfDifferenceSlope | undefined {
  const points = halves.map(({ force, half, cycles }) => ({ x: force, y: half, readings: cycles }))
  const fit = fitPolynomial(points, { degree: 1, intercept: false })
  const perNewton = fit?.coefficients[1]
  if (fit === undefined || perNewton === undefined) return undefined
  const variance = fit.covariance?.[1]?.[1]
  return {
    perNewton,
    pairs: halves.reduce((sum, { force, cycles }) => sum + (force === 0 ? 0 : cycles), 0),
    isSeen: variance !== undefined && Math.abs(perNewton) > t95(fit.dof) * Math.sqrt(variance),
  }
}
