import type { Side } from '../../../shared/sample.ts'
import type { Figure, ZoneNow } from '../../../shared/schemas/now.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { SIDES, sideNow, sidesOf } from '../sides.ts'

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

/** Whether the zone has a geometry that it is held against. */
export const isCompared = (zone: ZoneInfo): boolean => zone.webMassKgM !== undefined

/** What is judged of a zone, in reading order; a zone of one cell has no side difference. */
export function judgedOf(zone: ZoneInfo, now: ZoneNow | null): readonly Judged[] {
  const whole = { side: null, isOneSided: false } as const
  const agreement: Judged = {
    ...whole,
    key: 'agreement',
    title: 'Agreement',
    meaning: 'Measured minus expected web tension',
    figure: now?.agreement ?? null,
  }
  const driftOfAgreement: Judged = {
    ...whole,
    key: 'drift-of-agreement',
    title: 'Drift of the agreement',
    meaning: 'Change of measured minus expected, % of expected an hour',
    figure: now?.driftOfResidual ?? null,
  }
  const difference: Judged = {
    ...whole,
    key: 'side-difference',
    title: 'Side difference',
    meaning: 'Operator side minus drive side, % of their sum',
    figure: now?.imbalance ?? null,
  }
  const drift: Judged = {
    ...whole,
    key: 'drift',
    title: isCompared(zone) ? 'Drift of the side difference' : 'Drift',
    meaning: 'Change of the side difference, points an hour',
    figure: now?.driftOfSideDifference ?? null,
  }
  const sides = sidesOf(zone)
  const isPair = !sides.includes('single')
  return [
    ...(isCompared(zone) ? [agreement] : []),
    ...(isPair ? [difference] : []),
    ...sides.map((side) => noiseOf(side, now)),
    ...(isPair ? [drift] : []),
    ...(isCompared(zone) ? [driftOfAgreement] : []),
  ]
}

function noiseOf(side: Side, now: ZoneNow | null): Judged {
  return {
    key: `noise-${side}`,
    title: side === 'single' ? 'Noise' : `Noise, ${SIDES[side].name}`,
    meaning: '1 σ without slow motion, % of its mean',
    side,
    isOneSided: true,
    figure: sideNow(now, side)?.noise ?? null,
  }
}
