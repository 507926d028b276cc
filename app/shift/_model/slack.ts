import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import type { HistoryRows } from './history-rows.ts'

/** Under this share of what the cells are rated for, the web is slack or off: the same share that Live takes for none. */
const SLACK_SHARE = 0.02

/** Total under which a share of it says nothing, N, in the terms the total is told in. */
export function slackBelowN({ capacityN, forceFactor }: Pick<ZoneInfo, 'capacityN' | 'forceFactor'>): number {
  const rated = Object.entries(capacityN).map(([side, n]) => n / Math.abs(forceFactor?.[side] ?? 1))
  return SLACK_SHARE * rated.reduce((a, b) => a + b, 0)
}

/** True for the rows of a history in which the web was slack; false where its total is not told. */
export function isSlackRow(rows: HistoryRows, slackBelow: number): (row: number) => boolean {
  const total = rows.lines.get('total')?.mean
  return (row) => Math.abs(total?.[row] ?? Number.POSITIVE_INFINITY) < slackBelow
}
