import type { QualityCode } from '../../shared/quality.ts'

type Range = readonly [low: number, high: number]

/** Bad outside `range`, uncertain outside `narrower` but inside `range`, good within both; either may be absent. */
export function rangeCode(value: number, range: Range | undefined, narrower: Range | undefined): QualityCode {
  if (range !== undefined && value < range[0]) return 'under-range'
  if (range !== undefined && value > range[1]) return 'over-range'
  if (narrower !== undefined && (value < narrower[0] || value > narrower[1])) return 'out-of-range-uncertain'
  return 'good'
}
