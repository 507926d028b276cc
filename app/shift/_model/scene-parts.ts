import type { Drift, DriftQuantity, ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import type { BandKey } from './bands.ts'

/** Which band a drift is drawn in; the others stand in rows of their own. */
const BAND_OF: Partial<Record<DriftQuantity, BandKey>> = { agreement: 'residual', side_difference: 'imbalance' }

/** The drifts that have a line to draw, by band. */
export function sceneDrifts(analysis: ShiftAnalysis | null, isShown: boolean): Partial<Record<BandKey, Drift>> {
  const drawn: Partial<Record<BandKey, Drift>> = {}
  if (!isShown) return drawn
  for (const drift of analysis?.drifts ?? []) {
    const band = BAND_OF[drift.quantity]
    if (band !== undefined && drift.line !== null) drawn[band] = drift
  }
  return drawn
}
