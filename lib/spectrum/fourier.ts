import FFT from 'fft.js'

const plans = new Map<number, FourierPlan>()

/** Sizes the library can transform: powers of two from 2 on. */
const isTransformable = (size: number): boolean => Number.isInteger(Math.log2(size)) && size >= 2

/**
 * Fourier transform of real numbers, X_k = Σ x_n e^(−2πi kn/N) for k = 0 … N/2, by the library fft.js.
 * A plan keeps its tables and its room, so that a spectrum of a thousand segments allocates once.
 */
export class FourierPlan {
  readonly size: number
  readonly #fft: FFT
  readonly #out: number[]
  /** Fill this with `size` numbers before `transform`. */
  readonly input: Float64Array

  private constructor(size: number) {
    if (!isTransformable(size)) throw new RangeError(`size: expected a power of two from 2 on, got ${size}`)
    this.size = size
    this.#fft = new FFT(size)
    this.#out = this.#fft.createComplexArray()
    this.input = new Float64Array(size)
  }

  /** The plan of a size; shared by all, because a computation is never left between filling and reading it. */
  static of(size: number): FourierPlan {
    const plan = plans.get(size) ?? new FourierPlan(size)
    plans.set(size, plan)
    return plan
  }

  /** Transforms `input`; real and imaginary parts interleaved, good for k = 0 … size/2 until the next call. */
  transform(): readonly number[] {
    this.#fft.realTransform(this.#out, this.input)
    return this.#out
  }
}
