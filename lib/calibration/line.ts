import { type LackOfFit, lackOfFit } from './lack-of-fit.ts'
import type { CalibrationPoint } from './points.ts'
import { type FitPoint, fitPolynomial, type PolynomialFit } from './polynomial-fit.ts'

/** The calibration line: reading = zero + slope × force. */
export interface CalibrationLine {
  readonly fit: PolynomialFit
  readonly zero: number
  /** Signal's unit per newton. */
  readonly slope: number
  /** Random standard uncertainties, their covariance and degrees of freedom; undefined when nothing tells them. */
  readonly random: LineUncertainty | undefined
  readonly lackOfFit: LackOfFit | undefined
  /** The levels miss the line by more than repeats scatter: their misses, not the repeats, made the uncertainty. */
  readonly bends: boolean
}

interface LineUncertainty {
  readonly zero: number
  readonly slope: number
  readonly covariance: number
  readonly dof: number
  /** What the covariance of the fit is multiplied by: 1, or more where the line bends. */
  readonly inflation: number
}

/** Below this chance of being mistaken the line is taken to bend. */
const SIGNIFICANT = 0.05

/**
 * Least-squares straight line of the reading on the known force (the force is by far the better known), weighted
 * where the points' stated uncertainties differ.
 *
 * Repeats of a cell that bends agree with one another and not with the line; counted as independent they would
 * make the slope look too sure. So where the lack of fit is significant at 5 % its mean square and its degrees of
 * freedom take the place of the residual's (NIST/SEMATECH e-Handbook 4.4.4.6; the replacement is common practice,
 * no source). Undefined with fewer than two different forces.
 */
export function calibrationLine(points: readonly CalibrationPoint[]): CalibrationLine | undefined {
  const fitPoints = points.map(toFitPoint)
  const fit = fitPolynomial(fitPoints, { degree: 1, intercept: true })
  const [zero, slope] = fit?.coefficients ?? []
  if (fit === undefined || zero === undefined || slope === undefined) return undefined
  const weighed = fitPoints.map(({ x, y }, i) => ({ x, y, weight: fit.weights[i] ?? 1 }))
  const lack = lackOfFit(weighed, fit.residuals, 2)
  const bends = lack !== undefined && lack.p < SIGNIFICANT
  return { fit, zero, slope, random: uncertainty(fit, bends ? lack : undefined), lackOfFit: lack, bends }
}

function uncertainty(fit: PolynomialFit, lack: LackOfFit | undefined): LineUncertainty | undefined {
  const { covariance, residualSd } = fit
  if (covariance === undefined) return undefined
  const inflation = lack === undefined || !residualSd ? 1 : Math.max(1, lack.meanSquareLack / residualSd ** 2)
  const cell = (j: number, k: number) => inflation * (covariance[j]?.[k] ?? 0)
  return {
    zero: Math.sqrt(cell(0, 0)),
    slope: Math.sqrt(cell(1, 1)),
    covariance: cell(0, 1),
    dof: lack === undefined ? fit.dof : lack.dofLack,
    inflation,
  }
}

function toFitPoint({ force, reading, readings, u }: CalibrationPoint): FitPoint {
  return u === null ? { x: force, y: reading, readings } : { x: force, y: reading, readings, u }
}

/** ∂slope/∂(reading of each point): w(F − F̄)/Σw(F − F̄)². */
export function slopeSensitivities({ fit }: CalibrationLine, points: readonly CalibrationPoint[]): number[] {
  const { centre } = fit.centred
  const pulls = points.map(({ force }, i) => (fit.weights[i] ?? 0) * (force - centre))
  const square = points.reduce((sum, { force }, i) => sum + (pulls[i] ?? 0) * (force - centre), 0)
  return pulls.map((pull) => pull / square)
}

/** What a parabola adds to the line: structure that the residuals still hold. */
export interface Bow {
  /** How far the parabola lies from its own chord in the middle of the range, in the signal's unit, signed. */
  readonly height: number
  readonly u: number
  readonly dof: number
}

/**
 * The parabola's sagitta over the range of forces, a₂·R²/4, from a fit of degree 2. Undefined with fewer than
 * three different forces or no degree of freedom left.
 */
export function bowOf(points: readonly CalibrationPoint[]): Bow | undefined {
  const fit = fitPolynomial(points.map(toFitPoint), { degree: 2, intercept: true })
  const variance = fit?.covariance?.[2]?.[2]
  if (fit === undefined || variance === undefined || fit.residualSd === undefined) return undefined
  const forces = points.map(({ force }) => force)
  const range = Math.max(...forces) - Math.min(...forces)
  const perSquare = (range * range) / 4
  return { height: (fit.coefficients[2] ?? 0) * perSquare, u: Math.sqrt(variance) * perSquare, dof: fit.dof }
}
