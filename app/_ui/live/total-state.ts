import { qualityOf } from '../../../shared/quality.ts'
import type { SideNow, ZoneNow } from '../../../shared/schemas/now.ts'

/**
 * What a total without a value is called: `waiting` while good samples of every side are being collected, `unknown`
 * as soon as a side gives none.
 */
export function totalState(now: ZoneNow | null): 'told' | 'waiting' | 'unknown' {
  if (now === null) return 'unknown'
  if (now.total.value !== null) return 'told'
  const isLost = (Object.values(now.sides) as SideNow[]).some(({ live }) => qualityOf(live.code) === 'bad')
  return isLost || now.total.verdict.reason.kind === 'no-data' ? 'unknown' : 'waiting'
}
