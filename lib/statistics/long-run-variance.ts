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
function cosineTerms(batches: number): number {
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
 * `terms` cosines are taken: more tell it better where the spectrum is known to be flat further up.
 * Batches are weighted by their sample counts. Undefined with fewer than `MIN_BATCHES` batches.
 */
export function longRunVariance(
  series: BatchSeries,
  fitted: 'mean' | 'line',
  terms: number = cosineTerms(series.n.length),
): LongRunVariance | undefined {
  const { n, y } = series
  if (n.length < MIN_BATCHES) return undefined
  const total = n.reduce((sum, k) => sum + k, 0)
  const mean = weightedSum(n, y) / total
  // Everything is multiplied by √n once, so that plain inner products are the weighted ones.
  const root = Float64Array.from(n, Math.sqrt)
  const residual = root.map((r, i) => r * ((y[i] ?? 0) - mean))
  const basis = fittedBasis(series, root, fitted)
  const angle = cumulativeAngle(n, total)
  let sumOfSquares = 0
  let used = 0
  for (let j = 1; j <= terms; j += 1) {
    const wave = orthonormal(
      root.map((r, i) => r * Math.cos(j * (angle[i] ?? 0))),
      basis,
    )
    if (wave === undefined) continue
    basis.push(wave)
    sumOfSquares += inner(residual, wave) ** 2
    used += 1
  }
  return used === 0 ? undefined : { perSample: sumOfSquares / used, dof: used }
}

function fittedBasis({ tMs }: BatchSeries, root: Float64Array, fitted: 'mean' | 'line'): Float64Array[] {
  const basis: Float64Array[] = []
  const add = (v: Float64Array): void => {
    const unit = orthonormal(v, basis)
    if (unit !== undefined) basis.push(unit)
  }
  add(root.slice())
  const origin = tMs[0] ?? 0
  if (fitted === 'line') add(root.map((r, i) => r * ((tMs[i] ?? 0) - origin)))
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

/** `v` less its part along `basis` (twice, against rounding), of length 1, in place; undefined when nothing is left. */
function orthonormal(v: Float64Array, basis: readonly Float64Array[]): Float64Array | undefined {
  const before = inner(v, v)
  for (let pass = 0; pass < 2; pass += 1)
    for (const b of basis) {
      const along = inner(v, b)
      for (let i = 0; i < v.length; i += 1) v[i] = (v[i] as number) - along * (b[i] as number)
    }
  const square = inner(v, v)
  if (!(square > before * 1e-9)) return undefined
  const scale = 1 / Math.sqrt(square)
  for (let i = 0; i < v.length; i += 1) v[i] = (v[i] as number) * scale
  return v
}

/** Inner product of two vectors of one length. */
function inner(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i += 1) sum += (a[i] as number) * (b[i] as number)
  return sum
}
