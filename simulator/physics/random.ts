/**
 * Repeatable randomness. Every source of noise has its own stream, drawn from the seed and the
 * source's name, so that adding or silencing one source leaves all others as they were.
 */
export class RandomStream {
  #a: number
  #b: number
  #c: number
  #counter = 1
  #spare: number | null = null

  constructor(seed: number, name: string) {
    this.#a = hash(name, seed)
    this.#b = hash(name, this.#a ^ 0x9e3779b9)
    this.#c = hash(name, this.#b ^ 0x85ebca6b)
    for (let i = 0; i < 12; i++) this.uniform()
  }

  /** Uniform on [0, 1): the sfc32 generator of PractRand (C. Doty-Humphrey; from memory). */
  uniform(): number {
    const sum = (this.#a + this.#b + this.#counter) | 0
    this.#counter = (this.#counter + 1) | 0
    this.#a = this.#b ^ (this.#b >>> 9)
    this.#b = (this.#c + (this.#c << 3)) | 0
    this.#c = ((this.#c << 21) | (this.#c >>> 11)) + sum
    return (sum >>> 0) / 4294967296
  }

  /** Standard normal: the polar method (Marsaglia & Bray 1964; from memory). */
  gaussian(): number {
    if (this.#spare !== null) {
      const value = this.#spare
      this.#spare = null
      return value
    }
    for (;;) {
      const x = 2 * this.uniform() - 1
      const y = 2 * this.uniform() - 1
      const s = x * x + y * y
      if (s > 0 && s < 1) {
        const k = Math.sqrt((-2 * Math.log(s)) / s)
        this.#spare = y * k
        return x * k
      }
    }
  }
}

/** 32-bit FNV-1a of the name, started from the seed. */
function hash(name: string, seed: number): number {
  let h = (0x811c9dc5 ^ seed) | 0
  for (let i = 0; i < name.length; i++) h = Math.imul(h ^ name.charCodeAt(i), 0x01000193)
  return h
}
