import { type BatchSeries, weightedSum } from './batch-series.ts'

/** Fewest batches from which a long-run variance is told. */
export const MIN_BATCHES = 10
/** One cosine for this many batches, at least 2 and at most 6: see `cosineTerms`. */
const BATCHES_PER_TERM = 10
const MIN_TERMS = 2
const MAX_TERMS = 6

export interface LongRunVariance {
  /** Variance a sample would have if samples were independent and the mean as uncertain as it is; unit squared. */
  readonly perSample: number
  /** Degrees of freedom: the number of cosines. */
  readonly dof: number
}

/**
 * How many cosines. Few keep the estimate at frequencies where the noise of a filtered cell is still flat
 * (6 in a window of T seconds look no higher than 3/T hertz); fewer than the 0.4·T^(2/3) that Lazarus et al.
 * recommend for near-white data, because a moving web wanders slowly.
 */
export function cosineTerms(batches: number): number {
  return Math.min(MAX_TERMS, Math.max(MIN_TERMS, Math.floor(batches / BATCHES_PER_TERM)))
}

/**
 * Long-run variance (spectral density at zero frequency) of an autocorrelated series, from its batch means.
 *
 * The series is projected on the lowest ν cosines, made orthogonal to what was fitted (its mean, or a straight
 * line in time); the mean square of the ν projections is the estimate, with ν degrees of freedom, so that
 * Student's t_ν covers. Equal-weighted cosine estimator: E. Lazarus, D. J. Lewis, J. H. Stock, M. W. Watson,
 * "HAR Inference: Recommendations for Practice", J. Bus. Econ. Stat. 36 (2018) 541–559; U. K. Müller,
 * "A theory of robust long-run variance estimation", J. Econometrics 141 (2007) 1331–1352. A once-per-turn sine
 * adds almost nothing here, as it adds almost nothing to the mean's error.
 * Batches are weighted by their sample counts. Undefined with fewer than `MIN_BATCHES` batches.
 */
export function longRunVariance(series: BatchSeries, fitted: 'mean' | 'line'): LongRunVariance | undefined {
  const { n, y } = series
  const m = n.length
  if (m < MIN_BATCHES) return undefined
  const total = n.reduce((sum, k) => sum + k, 0)
  const mean = weightedSum(n, y) / total
  const weighted = y.map((value, i) => (n[i] ?? 0) * (value - mean))
  const basis = fittedBasis(series, fitted)
  const angle = cumulativeAngle(n, total)
  const terms = cosineTerms(m)
  let sumOfSquares = 0
  let used = 0
  for (let j = 1; j <= terms; j += 1) {
    const wave = orthonormal(
      angle.map((a) => Math.cos(j * a)),
      n,
      basis,
    )
    if (wave === undefined) continue
    basis.push(wave)
    const projection = weightedSum(weighted, wave)
    sumOfSquares += projection * projection
    used += 1
  }
  return used === 0 ? undefined : { perSample: sumOfSquares / used, dof: used }
}

function fittedBasis({ n, tMs }: BatchSeries, fitted: 'mean' | 'line'): number[][] {
  const basis: number[][] = []
  const constant = orthonormal(
    n.map(() => 1),
    n,
    basis,
  )
  if (constant !== undefined) basis.push(constant)
  if (fitted === 'mean') return basis
  const origin = tMs[0] ?? 0
  const slope = orthonormal(
    tMs.map((t) => t - origin),
    n,
    basis,
  )
  if (slope !== undefined) basis.push(slope)
  return basis
}

/** π × the share of samples before the middle of each batch. */
function cumulativeAngle(n: readonly number[], total: number): number[] {
  let before = 0
  return n.map((k) => {
    const angle = (Math.PI * (before + k / 2)) / total
    before += k
    return angle
  })
}

/** `v` less its part along `basis` (twice, against rounding), of weighted length 1; undefined when nothing is left. */
function orthonormal(v: number[], weights: readonly number[], basis: readonly number[][]): number[] | undefined {
  const before = weightedSquare(weights, v)
  for (let pass = 0; pass < 2; pass += 1)
    for (const b of basis) {
      let along = 0
      for (let i = 0; i < v.length; i += 1) along += (weights[i] ?? 0) * (v[i] ?? 0) * (b[i] ?? 0)
      for (let i = 0; i < v.length; i += 1) v[i] = (v[i] ?? 0) - along * (b[i] ?? 0)
    }
  const square = weightedSquare(weights, v)
  if (!(square > before * 1e-9)) return undefined
  const scale = 1 / Math.sqrt(square)
  return v.map((x) => x * scale)
}

function weightedSquare(weights: readonly number[], v: readonly number[]): number {
  let sum = 0
  for (let i = 0; i < v.length; i += 1) sum += (weights[i] ?? 0) * (v[i] ?? 0) * (v[i] ?? 0)
  return sum
}
