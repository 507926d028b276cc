import type { BivariateMoments } from './bivariate-moments.ts'

export interface StraightLine {
  readonly slope: number
  /** Value at x = 0. */
  readonly intercept: number
  /** Σ(y − line)². */
  readonly residualSumOfSquares: number
  /** Standard deviation of the residual (n − 2); undefined with two points. */
  readonly residualSd: number | undefined
  /** Standard uncertainty of the slope for independent residuals; undefined with two points. */
  readonly slopeU: number | undefined
}

/**
 * The least-squares straight line of y on x, from moments already gathered (so it merges).
 *
 * Centred normal equations: slope = Sxy/Sxx, residual sum = Syy − Sxy²/Sxx (NIST/SEMATECH e-Handbook
 * 4.4.3.1). Undefined with fewer than two points or when every x is the same.
 */
export function straightLineOf(moments: BivariateMoments): StraightLine | undefined {
  const { n, mxx, mxy, myy } = moments
  if (n < 2 || !(mxx > 0)) return undefined
  const slope = mxy / mxx
  const residualSumOfSquares = Math.max(0, myy - slope * mxy)
  const residualSd = n > 2 ? Math.sqrt(residualSumOfSquares / (n - 2)) : undefined
  return {
    slope,
    intercept: moments.meanY - slope * moments.meanX,
    residualSumOfSquares,
    residualSd,
    slopeU: residualSd === undefined ? undefined : residualSd / Math.sqrt(mxx),
  }
}
