import type { VerdictReason, VerdictState } from '../../shared/schemas/now.ts'
import { effectiveDof } from '../statistics/effective-dof.ts'
import { shortDuration } from '../statistics/words.ts'
import { expandedUncertainty } from '../uncertainty/coverage-factor.ts'
import type { Correlation } from '../uncertainty/uncertain.ts'

/** One systematic contribution to a figure: which input, and what its uncertainty does to the figure. */
export interface Contribution {
  readonly name: string
  /** c·u in the figure's unit; its sign matters only beside a correlation. */
  readonly contribution: number
  /** Degrees of freedom of that uncertainty; absent when known outright. */
  readonly dof?: number
}

/** A measured value as the rule of judgement sees it. */
export interface Measured {
  readonly value: number
  /** Random standard uncertainty and its degrees of freedom (Infinity when known outright). */
  readonly uRandom: number
  readonly dof: number
  /** What averaging does not remove; uncorrelated with one another but for `correlations`. */
  readonly systematic: readonly Contribution[]
  /** By the names of systematic contributions; a name that is none of them counts for nothing. */
  readonly correlations?: readonly Correlation[]
}

export interface Expanded {
  /** Combined standard uncertainty. */
  readonly u: number
  /** U = k·u, about 95 %. */
  readonly U: number
  readonly k: number
  /** Effective degrees of freedom; null when unbounded. */
  readonly dof: number | null
}

/** A limit: within ± half of a target, or between two ends of which one may be open (null). */
export type JudgedLimit =
  | { readonly kind: 'band'; readonly target: number; readonly half: number }
  | { readonly kind: 'interval'; readonly low: number | null; readonly high: number | null }

/** How the random uncertainty falls while one goes on measuring. */
export interface Averaging {
  /** Seconds behind the value so far, and the most its window can grow to. */
  readonly seconds: number
  readonly longestSeconds: number
  /** U_ran² falls with this power of the time: 1 for a mean, 3 for the slope of a line. */
  readonly power: 1 | 3
  /** The setting that bounds the window, and the most it may be set to. */
  readonly setting: string
  readonly mostSettableSeconds: number
}

export interface Judgement extends Expanded {
  readonly state: VerdictState
  readonly reason: VerdictReason
}

/**
 * Combined and expanded uncertainty: u = √(u_ran² + u_sys²), u_sys² = Σ c_i² + 2 Σ r_ij c_i c_j, ν_eff by
 * Welch–Satterthwaite, k = t₉₅(ν_eff), and 2 where t₉₅ would be less (JCGM 100, 5.1.2, 5.2.2, G.4, G.6). That formula
 * supposes independent parts and takes them so.
 */
export function expand(measured: Measured): Expanded {
  const { uRandom, dof, systematic } = measured
  const u = Math.sqrt(uRandom ** 2 + systematicVariance(measured))
  const parts = systematic.map((part) => ({
    u: Math.abs(part.contribution),
    dof: part.dof ?? Number.POSITIVE_INFINITY,
  }))
  return { u, ...expandedUncertainty(u, effectiveDof([{ u: uRandom, dof }, ...parts])) }
}

/** Never under 0, which rounding or coefficients that contradict one another could make it. */
function systematicVariance({ systematic, correlations = [] }: Measured): number {
  const sizeOf = (name: string): number => systematic.find((part) => part.name === name)?.contribution ?? 0
  const squares = systematic.reduce((sum, { contribution }) => sum + contribution ** 2, 0)
  const crossed = correlations.reduce((sum, { between: [a, b], r }) => sum + 2 * r * sizeOf(a) * sizeOf(b), 0)
  return Math.max(0, squares + crossed)
}

/**
 * The one rule, on every screen, alarm and report (guard bands in the spirit of JCGM 106, 8.3).
 *
 * With d = value − target: inside when |d| + U ≤ A, outside when |d| − U > A, else undecided. For an interval:
 * inside when [y − U, y + U] lies wholly within, outside when wholly beyond. Undecided tells the seconds that would
 * settle it when averaging can, from U² = U_sys² + U_ran²·(T₀/T)^power with today's k; else it names the largest
 * thing in the way. A value or uncertainty that is not finite is unknown. A figure that is not averaged over time (one
 * reading, an angle) has no averaging: null.
 */
export function judge(measured: Measured, limit: JudgedLimit, averaging: Averaging | null): Judgement {
  const expanded = expand(measured)
  const { low, high, y } = edges(measured.value, limit)
  const { U } = expanded
  if (!Number.isFinite(y) || !Number.isFinite(U)) return { ...expanded, state: 'unknown', reason: { kind: 'no-data' } }
  if (y - U >= low && y + U <= high) return { ...expanded, state: 'inside', reason: { kind: 'inside' } }
  if (y + U < low || y - U > high) return { ...expanded, state: 'outside', reason: { kind: 'outside' } }
  const margin = Math.min(Math.abs(y - low), Math.abs(high - y))
  return { ...expanded, state: 'undecided', reason: whatWouldSettle(measured, expanded.k, margin, averaging) }
}

/** The value and the ends it is held against; a band is taken about its target, so that |d| is what is compared. */
function edges(value: number, limit: JudgedLimit): { y: number; low: number; high: number } {
  if (limit.kind === 'band') return { y: value - limit.target, low: -limit.half, high: limit.half }
  return { y: value, low: limit.low ?? Number.NEGATIVE_INFINITY, high: limit.high ?? Number.POSITIVE_INFINITY }
}

function whatWouldSettle(measured: Measured, k: number, margin: number, averaging: Averaging | null): VerdictReason {
  const { uRandom, systematic } = measured
  const room = margin * margin - k * k * systematicVariance(measured)
  if (averaging === null)
    return { kind: 'no-time-will-settle', input: largest(systematic, uRandom) ?? 'the value lies on its limit' }
  if (!(room > 0))
    return { kind: 'no-time-will-settle', input: largest(systematic, 0) ?? 'the value lies on its limit' }
  const timesLonger = ((k * uRandom) ** 2 / room) ** (1 / averaging.power)
  const needed = timesLonger * averaging.seconds
  const seconds = Math.max(0, needed - averaging.seconds)
  if (needed <= averaging.longestSeconds) return { kind: 'needs-time', seconds }
  return { kind: 'no-time-will-settle', input: windowInTheWay(needed, averaging) }
}

/** The window slides once it is full: waiting longer does not help, a longer window may. */
function windowInTheWay(neededSeconds: number, { longestSeconds, setting, mostSettableSeconds }: Averaging): string {
  const window = `random variation within the longest window, ${shortDuration(longestSeconds)} (${setting})`
  return neededSeconds <= mostSettableSeconds ? `${window}; about ${shortDuration(neededSeconds)} would do` : window
}

/** The largest systematic input, or the scatter of the reading where that is larger; undefined when nothing is uncertain. */
function largest(systematic: readonly Contribution[], scatter: number): string | undefined {
  let top = { name: 'scatter of the reading', size: scatter }
  for (const { name, contribution } of systematic)
    if (Math.abs(contribution) > top.size) top = { name, size: Math.abs(contribution) }
  return top.size > 0 ? top.name : undefined
}
