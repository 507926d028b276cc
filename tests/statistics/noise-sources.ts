/** Seeded sources of noise for the tests of coverage. */

/** Uniform on [0, 1): mulberry32 (public domain, T. Ettinger). */
export function uniform(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

/** Standard normal: G. E. P. Box and M. E. Muller 1958. */
export function normal(seed: number): () => number {
  const random = uniform(seed)
  let spare = Number.NaN
  return () => {
    if (!Number.isNaN(spare)) {
      const value = spare
      spare = Number.NaN
      return value
    }
    const radius = Math.sqrt(-2 * Math.log(1 - random()))
    const angle = 2 * Math.PI * random()
    spare = radius * Math.sin(angle)
    return radius * Math.cos(angle)
  }
}

/** First-order autoregression of unit variance, begun in its stationary state: x' = φx + √(1 − φ²)·e. */
export function ar1(seed: number, phi: number): () => number {
  const next = normal(seed)
  const innovation = Math.sqrt(1 - phi * phi)
  let x = next()
  return () => {
    const value = x
    x = phi * x + innovation * next()
    return value
  }
}

/** φ of white noise behind a first-order low-pass of corner `cornerHz`, sampled at `rateHz`. */
function lowPassPhi(cornerHz: number, rateHz: number): number {
  return Math.exp((-2 * Math.PI * cornerHz) / rateHz)
}

/** A filtered cell on a turning roller: low-passed noise of unit variance and a once-per-turn sine of random phase. */
export function filteredCell(
  seed: number,
  { rateHz, cornerHz, turnHz, amplitude }: { rateHz: number; cornerHz: number; turnHz: number; amplitude: number },
): () => number {
  const noise = ar1(seed, lowPassPhi(cornerHz, rateHz))
  const phase = 2 * Math.PI * uniform(seed ^ 0x9e3779b9)()
  let i = 0
  return () => {
    const value = noise() + amplitude * Math.sin((2 * Math.PI * turnHz * i) / rateHz + phase)
    i += 1
    return value
  }
}
