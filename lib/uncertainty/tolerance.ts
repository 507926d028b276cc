/**
 * Numerical tolerance of an uncertainty kept to one or two significant digits: u = c·10^l with an integer c of that
 * many digits, δ = ½·10^l (JCGM 101, 7.9.2). 0.00035 kept to two digits has δ = 0.000005. 0 for u = 0.
 */
export function numericalTolerance(u: number, digits: 1 | 2): number {
  if (!(u > 0)) return u === 0 ? 0 : Number.NaN
  // Rounding may carry over (0.0996 to two digits is 0.10), so the exponent is read off the rounded figure.
  const exponent = Number(u.toExponential(digits - 1).split('e')[1])
  return 0.5 * 10 ** (exponent - digits + 1)
}
