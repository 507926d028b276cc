/** Lanczos approximation of ln Γ(x), x > 0: g = 7, 9 terms (P. Godfrey's coefficients), about 15 digits. */
const LANCZOS_G = 7
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
] as const

function lnGamma(x: number): number {
  let sum: number = LANCZOS[0]
  for (let i = 1; i < LANCZOS.length; i += 1) sum += (LANCZOS[i] ?? 0) / (x - 1 + i)
  const t = x - 1 + LANCZOS_G + 0.5
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum)
}

const TINY = 1e-300

/** Continued fraction of the incomplete beta function by Lentz's method (DLMF 8.17.22). */
function betaFraction(x: number, a: number, b: number): number {
  let c = 1
  let d = 1 / nonZero(1 - ((a + b) * x) / (a + 1))
  let product = d
  for (let m = 1; m <= 500; m += 1) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / nonZero(1 + even * d)
    c = nonZero(1 + even / c)
    product *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / nonZero(1 + odd * d)
    c = nonZero(1 + odd / c)
    product *= d * c
    if (Math.abs(d * c - 1) < 1e-16) break
  }
  return product
}
const nonZero = (x: number): number => (Math.abs(x) < TINY ? TINY : x)

/** Regularised incomplete beta function I_x(a, b), with 1 − x given apart so that neither end loses digits. */
export function regularisedBeta(x: number, oneMinusX: number, a: number, b: number): number {
  const front = Math.exp(lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log(oneMinusX))
  return x < (a + 1) / (a + b + 2)
    ? (front * betaFraction(x, a, b)) / a
    : 1 - (front * betaFraction(oneMinusX, b, a)) / b
}

/** P(|T| > t) of Student's t with `dof` degrees of freedom (any real > 0), t > 0 (DLMF 8.17, Abramowitz & Stegun 26.7.1). */
export function studentTwoTail(t: number, dof: number): number {
  const whole = dof + t * t
  return regularisedBeta(dof / whole, (t * t) / whole, dof / 2, 0.5)
}

/** Density of Student's t. */
function studentDensity(t: number, dof: number): number {
  const logFront = lnGamma((dof + 1) / 2) - lnGamma(dof / 2) - 0.5 * Math.log(dof * Math.PI)
  return Math.exp(logFront - ((dof + 1) / 2) * Math.log1p((t * t) / dof))
}

const NORMAL_97_5 = 1.959963984540054
/** Above this the next terms of the expansion below are under 1e-12. */
const LARGE_DOF = 1e4

/**
 * t₉₅(ν): the half-width, in standard uncertainties, of a 95 % coverage interval for ν degrees of freedom
 * (JCGM 100 annex G; the 0.975 quantile). ν is real and ≥ 1; Infinity gives 1.959964. Throws RangeError below 1.
 *
 * Newton's method on the tail probability, safeguarded by a bracket; for ν > 10⁴ the expansion about the
 * normal quantile (Abramowitz & Stegun 26.7.5).
 */
export function t95(dof: number): number {
  if (!(dof >= 1)) throw new RangeError(`t95 needs at least 1 degree of freedom, got ${dof}`)
  if (dof > LARGE_DOF) {
    const z = NORMAL_97_5
    return z + (z ** 3 + z) / (4 * dof) + (5 * z ** 5 + 16 * z ** 3 + 3 * z) / (96 * dof * dof)
  }
  let low = NORMAL_97_5
  let high = 12.8
  let t = Math.min(high, NORMAL_97_5 + 2.5 / dof + 8 / dof ** 3)
  for (let i = 0; i < 60; i += 1) {
    const excess = studentTwoTail(t, dof) - 0.05
    if (excess > 0) low = t
    else high = t
    const newton = t + excess / (2 * studentDensity(t, dof))
    const next = newton > low && newton < high ? newton : (low + high) / 2
    if (Math.abs(next - t) <= 1e-14 * t) return next
    t = next
  }
  return t
}
