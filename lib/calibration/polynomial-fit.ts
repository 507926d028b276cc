import { type LeastSquares, leastSquares } from './householder.ts'

export interface FitPoint {
  readonly x: number
  readonly y: number
  /** Standard uncertainty of y. Points are weighted by 1/u² when every one has it. */
  readonly u?: number
  /** How many readings y is the mean of; the weight when not every point has u. Default 1. */
  readonly readings?: number
}

export interface FitOptions {
  /** 1: a straight line. 2: a parabola, to see what the line leaves over. */
  readonly degree: 1 | 2
  /** False: through the origin. */
  readonly intercept: boolean
}

/** y = Σ coefficient[k]·xᵏ with its covariance. */
export interface PolynomialFit extends FitOptions {
  readonly n: number
  /** In powers of x from 0 on; the first is 0 for a fit through the origin. */
  readonly coefficients: readonly number[]
  /** Covariance of the coefficients, same order; undefined when nothing tells the scatter (see `fitPolynomial`). */
  readonly covariance: readonly (readonly number[])[] | undefined
  /** y less the fit, in the order given. */
  readonly residuals: readonly number[]
  /** Standard deviation of the residual, √(Σwr²/(n − p)) with weights of mean 1; undefined for n = p. */
  readonly residualSd: number | undefined
  /** n − p; Infinity when the covariance stands on stated uncertainties alone. */
  readonly dof: number
  /** Weights used, of mean 1 over the points. */
  readonly weights: readonly number[]
  /** The fit in t = (x − centre)/scale, where nothing cancels: for predictions. */
  readonly centred: CentredFit
}

interface CentredFit {
  readonly centre: number
  readonly scale: number
  /** Powers of t in the fit. */
  readonly powers: readonly number[]
  readonly beta: readonly number[]
  /** Covariance of beta for a point of weight 1 and unit variance. */
  readonly unitCovariance: readonly (readonly number[])[]
  /** Variance of a point of weight 1; undefined when unknown. */
  readonly pointVariance: number | undefined
}

/**
 * Weighted least-squares polynomial of y on x.
 *
 * Householder QR on columns centred at the weighted mean of x and scaled to its largest deviation (not centred
 * through the origin). Weights 1/u² where every point has a u above 0, else the number of readings each is the mean of. The covariance is
 * s²·(XᵀWX)⁻¹ with s² from the residuals, n − p degrees of freedom (JCGM 100, H.3; NIST/SEMATECH e-Handbook
 * 4.4.3.2 for weights): stated uncertainties give relative weights, the scatter gives the size. With no degree of
 * freedom left the stated uncertainties are taken as they are; without them the covariance is undefined.
 * Undefined when the points do not determine the coefficients (fewer different x than coefficients).
 */
export function fitPolynomial(points: readonly FitPoint[], options: FitOptions): PolynomialFit | undefined {
  const n = points.length
  const weighting = weightsOf(points)
  const basis = centredBasis(points, weighting.weights, options.intercept)
  const powers = powersOf(options)
  const root = Float64Array.from(weighting.weights, Math.sqrt)
  const t = points.map(({ x }) => (x - basis.centre) / basis.scale)
  const columns = powers.map((power) => root.map((r, i) => r * (t[i] ?? 0) ** power))
  const y = root.map((r, i) => r * (points[i]?.y ?? 0))
  const solved: LeastSquares | undefined = basis.scale > 0 ? leastSquares(columns, y) : undefined
  if (solved === undefined) return undefined
  const { beta, unitCovariance } = solved
  const residuals = points.map(
    (point, i) => point.y - powers.reduce((sum, p, j) => sum + (beta[j] ?? 0) * (t[i] ?? 0) ** p, 0),
  )
  const freedom = n - powers.length
  const squares = residuals.reduce((sum, r, i) => sum + (weighting.weights[i] ?? 0) * r * r, 0)
  const variance = freedom > 0 ? squares / freedom : weighting.statedVariance
  const back = powersOfX(powers, basis)
  return {
    ...options,
    n,
    coefficients: back.map((row) => inner(row, beta)),
    covariance: variance === undefined ? undefined : transformed(back, unitCovariance, variance),
    residuals,
    residualSd: freedom > 0 ? Math.sqrt(squares / freedom) : undefined,
    dof: freedom > 0 ? freedom : Number.POSITIVE_INFINITY,
    weights: weighting.weights,
    centred: { ...basis, powers, beta, unitCovariance, pointVariance: variance },
  }
}

interface Weighting {
  readonly weights: readonly number[]
  /** Stated variance of a point of weight 1; undefined when none is stated. */
  readonly statedVariance: number | undefined
}

function weightsOf(points: readonly FitPoint[]): Weighting {
  const inverse = points.map(({ u }) => (u === undefined || !(u > 0) ? Number.NaN : 1 / (u * u)))
  const mean = inverse.reduce((sum, w) => sum + w, 0) / points.length
  if (!Number.isFinite(mean)) return { weights: countWeights(points), statedVariance: undefined }
  return { weights: inverse.map((w) => w / mean), statedVariance: 1 / mean }
}

function countWeights(points: readonly FitPoint[]): number[] {
  const all = points.reduce((sum, { readings = 1 }) => sum + readings, 0)
  return points.map(({ readings = 1 }) => (readings * points.length) / all)
}

const powersOf = ({ degree, intercept }: FitOptions): number[] =>
  [0, 1, 2].filter((power) => power <= degree && (intercept || power > 0))

function centredBasis(points: readonly FitPoint[], weights: readonly number[], intercept: boolean) {
  const weighted = points.reduce((sum, { x }, i) => sum + x * (weights[i] ?? 0), 0)
  const centre = intercept ? weighted / points.length : 0
  return { centre, scale: points.reduce((most, { x }) => Math.max(most, Math.abs(x - centre)), 0) }
}

/** Rows k: how the coefficient of xᵏ is made of the coefficients of tʲ, by the binomial of ((x − c)/s)ʲ. */
function powersOfX(powers: readonly number[], { centre, scale }: { centre: number; scale: number }): number[][] {
  const highest = powers.at(-1) ?? 0
  return Array.from({ length: highest + 1 }, (_, k) =>
    powers.map((j) => (j < k ? 0 : (BINOMIAL[j]?.[k] ?? 0) * (-centre) ** (j - k) * scale ** -j)),
  )
}
const BINOMIAL = [[1], [1, 1], [1, 2, 1]] as const

function transformed(
  rows: readonly (readonly number[])[],
  covariance: readonly (readonly number[])[],
  variance: number,
): number[][] {
  return rows.map((a) =>
    rows.map((b) => variance * a.reduce((sum, aj, j) => sum + aj * inner(b, covariance[j] ?? []), 0)),
  )
}

function inner(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * (b[i] ?? 0), 0)
}
