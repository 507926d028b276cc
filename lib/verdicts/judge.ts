import type { VerdictReason, VerdictState } from '../../shared/schemas/now.ts'
import { effectiveDof } from '../statistics/effective-dof.ts'
import { t95 } from '../statistics/student-t.ts'
import { shortDuration } from '../statistics/words.ts'

/** One systematic contribution to a figure: which input, and what its uncertainty does to the figure. */
export interface Contribution {
  readonly name: string
  readonly contribution: number
}

/** A measured value as the rule of judgement sees it. */
export interface Measured {
  readonly value: number
  /** Random standard uncertainty and its degrees of freedom (Infinity when known outright). */
  readonly uRandom: number
  readonly dof: number
  /** What averaging does not remove; uncorrelated with one another. */
  readonly systematic: readonly Contribution[]
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
 * Combined and expanded uncertainty: u = √(u_ran² + Σ u_sys²), ν_eff by Welch–Satterthwaite with the systematic
 * parts taken as known outright, k = t₉₅(ν_eff), and 2 where t₉₅ would be less (JCGM 100, 5.1.2, G.4, G.6).
 */
export function expand({ uRandom, dof, systematic }: Measured): Expanded {
  const uSystematic = Math.hypot(...systematic.map((input) => input.contribution))
  const u = Math.hypot(uRandom, uSystematic)
  const effective = effectiveDof([
    { u: uRandom, dof },
    { u: uSystematic, dof: Number.POSITIVE_INFINITY },
  ])
  const k = Math.max(2, t95(Math.max(1, effective)))
  return { u, U: k * u, k, dof: Number.isFinite(effective) ? effective : null }
}

/**
 * The one rule, on every screen, alarm and report (guard bands in the spirit of JCGM 106, 8.3).
 *
 * With d = value − target: inside when |d| + U ≤ A, outside when |d| − U > A, else undecided. For an interval:
 * inside when [y − U, y + U] lies wholly within, outside when wholly beyond. Undecided tells the seconds that would
 * settle it when averaging can, from U² = U_sys² + U_ran²·(T₀/T)^power with today's k; else it names the largest
 * thing in the way. A value or uncertainty that is not finite is unknown.
 */
export function judge(measured: Measured, limit: JudgedLimit, averaging: Averaging): Judgement {
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

function whatWouldSettle(
  { uRandom, systematic }: Measured,
  k: number,
  margin: number,
  averaging: Averaging,
): VerdictReason {
  const systematicSquare = k * k * systematic.reduce((sum, { contribution }) => sum + contribution ** 2, 0)
  const room = margin * margin - systematicSquare
  if (!(room > 0)) return { kind: 'no-time-will-settle', input: largest(systematic) ?? 'the value lies on its limit' }
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

function largest(systematic: readonly Contribution[]): string | undefined {
  let top: Contribution | undefined
  for (const input of systematic) if (input.contribution > (top?.contribution ?? 0)) top = input
  return top?.name
}
