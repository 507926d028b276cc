/**
 * P(|Z| > z) of the standard normal distribution, z ≥ 0: erfc(z/√2), by the series of Abramowitz & Stegun 7.1.6 near 0
 * and the continued fraction 7.1.14 beyond; about 14 digits.
 */
export function normalTwoTail(z: number): number {
  const x = z / Math.SQRT2
  return x < 2 ? 1 - erfSeries(x) : erfcFraction(x)
}

function erfSeries(x: number): number {
  let term = x
  let sum = x
  for (let k = 1; k < 200 && Math.abs(term) > 1e-17 * Math.abs(sum); k += 1) {
    term *= (2 * x * x) / (2 * k + 1)
    sum += term
  }
  return (2 / Math.sqrt(Math.PI)) * Math.exp(-x * x) * sum
}

function erfcFraction(x: number): number {
  let fraction = x
  for (let k = 120; k > 0; k -= 1) fraction = x + k / 2 / fraction
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * fraction)
}
