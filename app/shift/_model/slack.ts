import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import type { RowsLine } from './history-rows.ts'

/** Under this share of what its cells are rated for, a zone's web is taken for slack or off (common practice, no source). */
const SLACK_SHARE = 0.02

/** Total under which a share of it says nothing, N, in the terms the total is told in. */
export function slackBelowN({ capacityN, forceFactor }: Pick<ZoneInfo, 'capacityN' | 'forceFactor'>): number {
  const rated = Object.entries(capacityN).map(([side, n]) => n / Math.abs(forceFactor?.[side] ?? 1))
  return SLACK_SHARE * rated.reduce((a, b) => a + b, 0)
}

/** Takes the numbers out of a share where the total is under that; how many samples were measured stays. */
export function blankSlack(share: RowsLine, total: RowsLine | undefined, slackBelow: number): RowsLine {
  if (total === undefined) return share
  const isSlack = (i: number) => Math.abs(total.mean[i] ?? Number.NaN) < slackBelow
  const blanked = (values: Float64Array) => values.map((value, i) => (isSlack(i) ? Number.NaN : value))
  return { ...share, min: blanked(share.min), max: blanked(share.max), mean: blanked(share.mean) }
}
