import type { PolynomialFit } from './polynomial-fit.ts'

export interface Predicted {
  readonly value: number
  /** Standard uncertainty of the fit there (not of one more reading); undefined when the fit has none. */
  readonly u: number | undefined
  readonly dof: number
}

/**
 * Value of the fit at x and its standard uncertainty: u² = Σ cov(bⱼ, bₖ) tʲ⁺ᵏ, covariances included
 * (JCGM 100, H.3.5), in the centred basis where nothing cancels.
 */
export function predict(fit: PolynomialFit, x: number): Predicted {
  const { beta, pointVariance } = fit.centred
  const basis = basisAt(fit, x)
  const value = basis.reduce((sum, b, j) => sum + b * (beta[j] ?? 0), 0)
  const u = pointVariance === undefined ? undefined : Math.sqrt(pointVariance * leverage(fit, x))
  return { value, u, dof: fit.dof }
}

/** Variance of the fit at x for points of weight 1 and unit variance: xᵀ(XᵀWX)⁻¹x. */
export function leverage(fit: PolynomialFit, x: number): number {
  const basis = basisAt(fit, x)
  const square = fit.centred.unitCovariance.reduce(
    (sum, row, j) => sum + (basis[j] ?? 0) * row.reduce((part, c, k) => part + c * (basis[k] ?? 0), 0),
    0,
  )
  return Math.max(0, square)
}

/**
 * The x that belongs to a reading, from a straight line: x = (y − a)/b, u² = (u_fit(x)² + u_y²)/b².
 * JCGM 100, H.3.5 with the line turned round (5.1.2, first order). NaN on a level line.
 *
 * @param uReading standard uncertainty of the reading itself
 */
export function inverse(fit: PolynomialFit, reading: number, uReading: number): Predicted {
  const [intercept = Number.NaN, slope = Number.NaN] = fit.coefficients
  if (fit.degree !== 1) throw new RangeError('only a straight line is turned round')
  const value = slope === 0 ? Number.NaN : (reading - intercept) / slope
  const u = predict(fit, value).u
  return { value, u: u === undefined ? undefined : Math.hypot(u, uReading) / Math.abs(slope), dof: fit.dof }
}

function basisAt({ centred: { centre, scale, powers } }: PolynomialFit, x: number): number[] {
  return powers.map((power) => ((x - centre) / scale) ** power)
}
