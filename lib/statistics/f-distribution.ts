import { regularisedBeta } from './student-t.ts'

/**
 * P(F > f) of the F distribution with d1 and d2 degrees of freedom: I_x(d2/2, d1/2) at x = d2/(d2 + d1 f)
 * (Abramowitz & Stegun 26.6.2). 1 for f ≤ 0, 0 for f = ∞. Throws RangeError unless both are above 0.
 */
export function fUpperTail(f: number, d1: number, d2: number): number {
  if (!(d1 > 0) || !(d2 > 0)) throw new RangeError(`an F test needs degrees of freedom above 0, got ${d1} and ${d2}`)
  if (f <= 0) return 1
  if (f === Number.POSITIVE_INFINITY) return 0
  const whole = d2 + d1 * f
  return regularisedBeta(d2 / whole, (d1 * f) / whole, d2 / 2, d1 / 2)
}
