import type { VerdictState } from '../../shared/schemas/now.ts'

/**
 * What one look at the plant says of an alarm's condition. `between` is undecided, or inside but within the deadband:
 * it neither begins an alarm nor ends one. `unknown` tells nothing at all.
 */
export type Condition = 'outside' | 'inside' | 'between' | 'unknown'

/** A judged value as an alarm sees it: value, expanded uncertainty, and a limit of ± half about its target. */
export interface Judged {
  readonly verdict: VerdictState
  readonly value: number | null
  readonly U: number | null
  readonly limit: { readonly target: number; readonly half: number } | null
}

/**
 * The condition behind a verdict. Outside is the verdict's own; undecided never is. Inside needs |d| + U ≤ A·(1 − deadband),
 * so that a value that walks along its limit makes one alarm, not many. Without value, uncertainty or limit it is unknown.
 */
export function conditionOf({ verdict, value, U, limit }: Judged, deadband: number): Condition {
  if (value === null || U === null || limit === null) return 'unknown'
  switch (verdict) {
    case 'outside':
      return 'outside'
    case 'undecided':
      return 'between'
    case 'inside':
      return Math.abs(value - limit.target) + U <= limit.half * (1 - deadband) ? 'inside' : 'between'
    default:
      return 'unknown'
  }
}
