/**
 * A seeded source of random numbers for Monte Carlo work: the same seed gives the same draws on every machine.
 *
 * Generator xoshiro128++ 1.0 (D. Blackman, S. Vigna, "Scrambled linear pseudorandom number generators", ACM TOMS 47
 * (2021)); the seed is spread over the state by the finaliser of MurmurHash3 (A. Appleby, public domain).
 */
export class Random {
  #a: number
  #b: number
  #c: number
  #d: number
  #spare = Number.NaN

  /** @param state four 32-bit words, not all zero (RangeError) */
  constructor(state: readonly [number, number, number, number]) {
    const [a, b, c, d] = state
    if ((a | b | c | d) === 0) throw new RangeError('the state of the generator must not be all zero')
    this.#a = a | 0
    this.#b = b | 0
    this.#c = c | 0
    this.#d = d | 0
  }

  /** A generator from any integer; two seeds give unrelated sequences. */
  static seeded(seed: number): Random {
    const word = (i: number): number => scramble((seed + Math.imul(i, GOLDEN)) | 0)
    // The four inputs differ and the finaliser is one to one, so at most one word is zero.
    return new Random([word(1), word(2), word(3), word(4)])
  }

  /** Integer on [0, 2³²). */
  uint32(): number {
    const result = (rotate((this.#a + this.#d) | 0, 7) + this.#a) >>> 0
    const t = this.#b << 9
    this.#c ^= this.#a
    this.#d ^= this.#b
    this.#b ^= this.#c
    this.#a ^= this.#d
    this.#c ^= t
    this.#d = rotate(this.#d, 11)
    return result
  }

  /** Uniform on [0, 1), 53 bits. */
  uniform(): number {
    return ((this.uint32() >>> 5) * 67_108_864 + (this.uint32() >>> 6)) / 9_007_199_254_740_992
  }

  /** Standard normal, by the polar method (G. Marsaglia, T. A. Bray, SIAM Review 6 (1964)). */
  normal(): number {
    if (!Number.isNaN(this.#spare)) {
      const value = this.#spare
      this.#spare = Number.NaN
      return value
    }
    for (;;) {
      const x = 2 * this.uniform() - 1
      const y = 2 * this.uniform() - 1
      const s = x * x + y * y
      if (s === 0 || s >= 1) continue
      const factor = Math.sqrt((-2 * Math.log(s)) / s)
      this.#spare = y * factor
      return x * factor
    }
  }

  /** Student's t with `dof` degrees of freedom: normal over the root of a chi-square over its degrees. */
  studentT(dof: number): number {
    return this.normal() / Math.sqrt((2 * this.#gamma(dof / 2)) / dof)
  }

  /** Gamma of unit scale (G. Marsaglia, W. W. Tsang, ACM TOMS 26 (2000); shapes under 1 by their boost). */
  #gamma(shape: number): number {
    if (shape < 1) return this.#gamma(shape + 1) * (1 - this.uniform()) ** (1 / shape)
    const d = shape - 1 / 3
    const c = 1 / Math.sqrt(9 * d)
    for (;;) {
      const x = this.normal()
      const v = (1 + c * x) ** 3
      if (v > 0 && Math.log(1 - this.uniform()) < 0.5 * x * x + d * (1 - v + Math.log(v))) return d * v
    }
  }
}

const GOLDEN = 0x9e3779b9

const rotate = (x: number, by: number): number => (x << by) | (x >>> (32 - by))

function scramble(word: number): number {
  let h = word
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b)
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35)
  return h ^ (h >>> 16)
}
