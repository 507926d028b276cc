import type { Side } from '../../../shared/sample.ts'
import type { Figure, ZoneNow } from '../../../shared/schemas/now.ts'
import { SIDES, sideNow } from '../sides.ts'

/** One thing the gateway judges about a zone. */
export interface Judged {
  readonly key: string
  readonly title: string
  /** What it says in one line, for a reader who sees it for the first time. */
  readonly meaning: string
  readonly side: Side | null
  readonly isOneSided: boolean
  readonly figure: Figure | null
}

/** What is judged of a zone with these sides, in reading order; a zone of one cell has no side difference. */
export function judgedOf(sides: readonly Side[], now: ZoneNow | null): readonly Judged[] {
  const noise = sides.map(
    (side): Judged => ({
      key: `noise-${side}`,
      title: side === 'single' ? 'Noise' : `Noise, ${SIDES[side].name}`,
      meaning: '1 σ without slow motion, % of its mean',
      side,
      isOneSided: true,
      figure: sideNow(now, side)?.noise ?? null,
    }),
  )
  if (sides.includes('single')) return noise
  const difference: Judged = {
    key: 'side-difference',
    title: 'Side difference',
    meaning: 'Operator side minus drive side, % of their sum',
    side: null,
    isOneSided: false,
    figure: now?.imbalance ?? null,
  }
  const drift: Judged = {
    key: 'drift',
    title: 'Drift',
    meaning: 'Change of the side difference, points an hour',
    side: null,
    isOneSided: false,
    figure: now?.driftOfSideDifference ?? null,
  }
  return [difference, ...noise, drift]
}
