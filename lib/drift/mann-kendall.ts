import { studentTwoTail } from '../statistics/student-t.ts'
import { normalTwoTail } from './normal.ts'

/** Up to so many values without ties the tails are exact. */
const EXACT_UP_TO = 20
/** Lags whose rank correlation is within this many standard errors of none count as none (Hamed & Rao 1998: 95 %). */
const SIGNIFICANT = 1.959963984540054

export interface MannKendall {
  /** Rises less falls among all pairs in order of time. */
  readonly S: number
  /** S over the number of pairs. */
  readonly tau: number
  /** Variance of S without a trend, ties and autocorrelation accounted for. */
  readonly variance: number
  /** What autocorrelation multiplied it by: n/n_eff. */
  readonly varianceFactor: number
  /** Two-sided. */
  readonly p: number
  readonly method: 'exact' | 'normal'
}

/**
 * Mann–Kendall test of a trend in values in order of time (H. B. Mann 1945; M. G. Kendall 1975). Exact tails for up to 20
 * values without ties, else normal with continuity correction, as in EPA QA/G-9S, 4.3.4. `widened` gives the factor by
 * which autocorrelation widens the variance of S (see `rankVarianceFactor`) and how well it is known: the tails are then
 * those of Student's t. Undefined with fewer than four values.
 */
export function mannKendall(
  y: readonly number[],
  widened?: { readonly factor: number; readonly dof: number },
): MannKendall | undefined {
  const n = y.length
  if (n < 4) return undefined
  const S = kendallS(y)
  const varianceFactor = widened?.factor ?? 1
  const variance = varianceFactor * kendallVariance(undefined, y)
  const common = { S, tau: (2 * S) / (n * (n - 1)), variance, varianceFactor }
  const isExact = n <= EXACT_UP_TO && widened === undefined && new Set(y).size === n
  if (isExact) return { ...common, p: Math.min(1, 2 * exactTail(n, Math.abs(S))), method: 'exact' }
  const z = variance > 0 ? Math.max(0, Math.abs(S) - 1) / Math.sqrt(variance) : 0
  if (z === 0) return { ...common, p: 1, method: 'normal' }
  return { ...common, p: widened === undefined ? normalTwoTail(z) : studentTwoTail(z, widened.dof), method: 'normal' }
}

function kendallS(y: readonly number[]): number {
  let S = 0
  for (let i = 0; i < y.length; i += 1) {
    const from = y[i] as number
    for (let j = i + 1; j < y.length; j += 1) {
      const to = y[j] as number
      if (to > from) S += 1
      else if (to < from) S -= 1
    }
  }
  return S
}

/**
 * Variance of S for independent values, ties in x and y taken off: (n(n−1)(2n+5) − Σt(t−1)(2t+5))/18 (Kendall 1975;
 * EPA QA/G-9S). Over several stretches: the sum (as of the seasonal test, R. M. Hirsch, J. R. Slack, R. A. Smith 1982).
 */
export function kendallVariance(
  x: readonly number[] | undefined,
  y: readonly number[],
  segment?: readonly number[],
): number {
  if (segment === undefined) return varianceOfOne(x, y)
  let sum = 0
  for (let from = 0; from < y.length; ) {
    let to = from
    while (to < y.length && segment[to] === segment[from]) to += 1
    sum += varianceOfOne(x?.slice(from, to), y.slice(from, to))
    from = to
  }
  return sum
}

function varianceOfOne(x: readonly number[] | undefined, y: readonly number[]): number {
  return (weight(y.length) - tied(y) - (x === undefined ? 0 : tied(x))) / 18
}

const weight = (n: number): number => n * (n - 1) * (2 * n + 5)

function tied(values: readonly number[]): number {
  const counts = new Map<number, number>()
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1)
  let sum = 0
  for (const count of counts.values()) if (count > 1) sum += weight(count)
  return sum
}

/**
 * P(S ≥ s) over all orderings of n unlike values, s ≥ 0, from the numbers of orderings with so many inversions
 * (M. G. Kendall, "Rank Correlation Methods", 1975, ch. 5).
 */
export function exactTail(n: number, s: number): number {
  const pairs = (n * (n - 1)) / 2
  let orderings = [1]
  for (let k = 2; k <= n; k += 1) {
    const next = new Array<number>(orderings.length + k - 1).fill(0)
    for (const [inversions, count] of orderings.entries())
      for (let more = 0; more < k; more += 1) next[inversions + more] = (next[inversions + more] ?? 0) + count
    orderings = next
  }
  // S = pairs − 2 × inversions.
  let tail = 0
  let all = 0
  for (const [inversions, count] of orderings.entries()) {
    all += count
    if (pairs - 2 * inversions >= s) tail += count
  }
  return tail / all
}

/**
 * What the autocorrelation of a detrended series multiplies the variance of S by:
 * 1 + 2/(n(n−1)(n−2)) Σ (n−i)(n−i−1)(n−i−2) ρ(i), ρ(i) the autocorrelation of the ranks at lag i, where it is significant
 * at 95 % (K. H. Hamed, A. R. Rao, "A modified Mann-Kendall trend test for autocorrelated data", J. Hydrol. 204 (1998)
 * 182–196). At least 1/n; 1 with fewer than four values.
 */
export function rankVarianceFactor(detrended: readonly number[]): number {
  const n = detrended.length
  if (n < 4) return 1
  const ranks = ranksOf(detrended)
  const middle = (n + 1) / 2
  const centred = ranks.map((rank) => rank - middle)
  const square = centred.reduce((sum, c) => sum + c * c, 0)
  if (square === 0) return 1
  let sum = 0
  for (let lag = 1; lag < n - 2; lag += 1) {
    let product = 0
    for (let i = 0; i + lag < n; i += 1) product += (centred[i] as number) * (centred[i + lag] as number)
    const rho = product / square
    if (Math.abs(rho) > SIGNIFICANT / Math.sqrt(n)) sum += (n - lag) * (n - lag - 1) * (n - lag - 2) * rho
  }
  return Math.max(1 / n, 1 + (2 / (n * (n - 1) * (n - 2))) * sum)
}

/** Ranks from 1; tied values share the mean of theirs. */
function ranksOf(values: readonly number[]): number[] {
  const order = values.map((_, i) => i).sort((a, b) => (values[a] as number) - (values[b] as number))
  const ranks = new Array<number>(values.length)
  for (let from = 0; from < order.length; ) {
    let to = from
    while (to + 1 < order.length && values[order[to + 1] as number] === values[order[from] as number]) to += 1
    for (let i = from; i <= to; i += 1) ranks[order[i] as number] = (from + to) / 2 + 1
    from = to + 1
  }
  return ranks
}
