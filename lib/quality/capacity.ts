import type { QualityCode } from '../../shared/quality.ts'
import type { ForceScale } from '../../shared/schemas/config.ts'
import { shareOfCapacity } from '../scale/force.ts'

/** Up to its rated capacity a cell is calibrated; from this share of it on it may be damaged (common practice, no source). */
export const BEYOND_BELIEF = 1.5
/** A full signal that stands exactly for the capacity must not fall out by rounding. */
const ROUNDING = 1e-9

/** Uncertain above the rated capacity of the cell, in either direction, and bad above 150 % of it. */
export function capacityCode(scale: ForceScale, reading: number): QualityCode {
  const share = shareOfCapacity(scale, reading)
  if (share > BEYOND_BELIEF + ROUNDING) return 'over-range'
  return share > 1 + ROUNDING ? 'over-capacity' : 'good'
}
