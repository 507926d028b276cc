import type { QualityCode } from '../../shared/quality.ts'

/** Levels of a 4–20 mA signal, in mA. Source: NAMUR NE 43 (failure information of transmitters). */
export const NE43 = { failLow: 3.6, validLow: 3.8, validHigh: 20.5, failHigh: 21 } as const

/**
 * What a current says of itself: good from 3.8 to 20.5 mA, failed at or under 3.6 and at or over
 * 21 mA, saturated (uncertain) between.
 *
 * A converter's rounding may put the edge 3.6 at 3.6000000000000001; the levels are exact in the
 * standard, so a comparison allows 1 nA.
 */
export function ne43Code(milliampere: number): QualityCode {
  const tolerance = 1e-6
  if (milliampere <= NE43.failLow + tolerance) return 'wire-break'
  if (milliampere >= NE43.failHigh - tolerance) return 'short-circuit'
  if (milliampere < NE43.validLow - tolerance || milliampere > NE43.validHigh + tolerance) return 'saturated'
  return 'good'
}
