import { BivariateMoments } from './bivariate-moments.ts'
import { straightLineOf } from './line-moments.ts'

/** Fewest samples in a block, and fewest blocks, from which noise is told. */
export const MIN_BLOCK_SAMPLES = 5
export const MIN_BLOCKS = 4
/** Longest block kept, in samples; a longer one is closed early. 60 s at 1000/s needs 60 000. */
const MAX_BLOCK_SAMPLES = 65_536

export interface NoiseEstimate {
  /** 1 σ after slow motion is removed. */
  readonly sigma: number
  /** Standard uncertainty of sigma, and its degrees of freedom. */
  readonly u: number
  readonly dof: number
  /** Highest less lowest residual in the window. */
  readonly peakToPeak: number
  readonly blocks: number
  readonly samples: number
}

/**
 * Noise of one signal: what is left about a straight line within each block of time.
 *
 * σ² = Σ residual² / Σ(n − 2) over the blocks of the window. A block is unbroken: `breakOff` (a bad sample, a
 * hole in time) throws the open block away. u(σ) comes from the scatter of the blocks' own variances
 * (batch means, blocks taken as independent of one another), so that autocorrelation within a block counts:
 * u(s²)² = B/(B − 1) · Σ(w(s_b² − s²))²/(Σw)² with w = n_b − 2, and u(σ) = u(s²)/2σ (JCGM 100, 5.1.2).
 * σ of noise slower than a block is left out by definition. Amortised O(1) a sample: a block is fitted once, at
 * its end. Memory: one block of samples and one row a block.
 */
export class NoiseBlocks {
  readonly #blockMs: number
  readonly #capacity: number
  #tMs = new Float64Array(256)
  #x = new Float64Array(256)
  #n = 0
  readonly #endMs: Float64Array
  readonly #dof: Float64Array
  readonly #squares: Float64Array
  readonly #lowest: Float64Array
  readonly #highest: Float64Array
  #next = 0
  /** Samples of the fullest block closed, to tell a low rate from a broken signal. */
  #fullest = 0
  readonly #fit = new BivariateMoments()

  constructor(blockMs: number, windowMs: number) {
    if (!(blockMs > 0) || !(windowMs >= blockMs)) throw new RangeError('a noise window holds at least one block')
    this.#blockMs = blockMs
    this.#capacity = Math.ceil(windowMs / blockMs) + 1
    this.#endMs = new Float64Array(this.#capacity).fill(Number.NEGATIVE_INFINITY)
    this.#dof = new Float64Array(this.#capacity)
    this.#squares = new Float64Array(this.#capacity)
    this.#lowest = new Float64Array(this.#capacity)
    this.#highest = new Float64Array(this.#capacity)
  }

  /** Samples of the fullest block so far; 0 before the first block is full. */
  get fullestBlock(): number {
    return this.#fullest
  }

  /** A good sample, later than the one before. */
  add(tMs: number, x: number): void {
    if (this.#n > 0 && (tMs - (this.#tMs[0] ?? 0) >= this.#blockMs || this.#n === MAX_BLOCK_SAMPLES)) this.#close()
    if (this.#n === this.#x.length) this.#grow()
    this.#tMs[this.#n] = tMs
    this.#x[this.#n] = x
    this.#n += 1
  }

  /** The signal is broken here: the open block is thrown away, never bridged. */
  breakOff(): void {
    this.#n = 0
  }

  clear(): void {
    this.#n = 0
    this.#endMs.fill(Number.NEGATIVE_INFINITY)
  }

  /** How many whole blocks ended later than `sinceMs`. */
  countSince(sinceMs: number): number {
    return this.#endMs.reduce((count, end) => (end > sinceMs ? count + 1 : count), 0)
  }

  /** Noise over the blocks that ended later than `sinceMs`; undefined with fewer than `MIN_BLOCKS`. */
  estimate(sinceMs: number): NoiseEstimate | undefined {
    let blocks = 0
    let dof = 0
    let squares = 0
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let i = 0; i < this.#capacity; i += 1) {
      if (!((this.#endMs[i] ?? 0) > sinceMs)) continue
      blocks += 1
      dof += this.#dof[i] ?? 0
      squares += this.#squares[i] ?? 0
      low = Math.min(low, this.#lowest[i] ?? 0)
      high = Math.max(high, this.#highest[i] ?? 0)
    }
    if (blocks < MIN_BLOCKS) return undefined
    const variance = squares / dof
    const sigma = Math.sqrt(variance)
    return {
      sigma,
      u: sigma > 0 ? this.#uncertaintyOfVariance(sinceMs, variance, dof, blocks) / (2 * sigma) : 0,
      dof: blocks - 1,
      peakToPeak: high - low,
      blocks,
      samples: dof + 2 * blocks,
    }
  }

  #uncertaintyOfVariance(sinceMs: number, variance: number, dof: number, blocks: number): number {
    let scatter = 0
    for (let i = 0; i < this.#capacity; i += 1) {
      if (!((this.#endMs[i] ?? 0) > sinceMs)) continue
      const apart = (this.#squares[i] ?? 0) - (this.#dof[i] ?? 0) * variance
      scatter += apart * apart
    }
    return Math.sqrt((scatter * blocks) / (blocks - 1)) / dof
  }

  /** Fits the open block and keeps what is left about its line. Origin at its first sample, so that nothing cancels. */
  #close(): void {
    const n = this.#n
    this.#n = 0
    if (n > this.#fullest) this.#fullest = n
    if (n < MIN_BLOCK_SAMPLES) return
    const t0 = this.#tMs[0] ?? 0
    const x0 = this.#x[0] ?? 0
    const fit = this.#fit
    fit.reset()
    for (let i = 0; i < n; i += 1) fit.add((this.#tMs[i] ?? 0) - t0, (this.#x[i] ?? 0) - x0)
    const slope = straightLineOf(fit)?.slope
    if (slope === undefined) return
    let squares = 0
    let low = Number.POSITIVE_INFINITY
    let high = Number.NEGATIVE_INFINITY
    for (let i = 0; i < n; i += 1) {
      const line = fit.meanY + slope * ((this.#tMs[i] ?? 0) - t0 - fit.meanX)
      const residual = (this.#x[i] ?? 0) - x0 - line
      squares += residual * residual
      if (residual < low) low = residual
      if (residual > high) high = residual
    }
    const row = this.#next
    this.#next = (row + 1) % this.#capacity
    this.#endMs[row] = this.#tMs[n - 1] ?? 0
    this.#dof[row] = n - 2
    this.#squares[row] = squares
    this.#lowest[row] = low
    this.#highest[row] = high
  }

  #grow(): void {
    const tMs = new Float64Array(this.#x.length * 2)
    const x = new Float64Array(this.#x.length * 2)
    tMs.set(this.#tMs)
    x.set(this.#x)
    this.#tMs = tMs
    this.#x = x
  }
}
