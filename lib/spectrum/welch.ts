import { type Detrend, detrend } from './detrend.ts'
import { FourierPlan } from './fourier.ts'

export interface WelchSettings {
  /** Samples per second. */
  readonly rateHz: number
  /** Weights of one segment; its length is the segment's, a power of two. */
  readonly window: Float64Array
  /** Samples that a segment shares with the one before. */
  readonly overlap: number
  readonly detrend: Detrend
}

/** Mean of the segments' one-sided power densities. */
export interface PowerDensity {
  /** Unit² per Hz at k·binHz, k = 0 … half the segment. */
  readonly density: Float64Array
  readonly binHz: number
  readonly segments: number
}

/**
 * Power density by Welch's method (P. D. Welch, IEEE Trans. Audio Electroacoust. 15 (1967)): segments that overlap,
 * detrended and weighted, |X|²/(fs·Σw²) averaged, doubled but for 0 and fs/2. A generator: it hands back control after
 * each segment, so that a caller may let others run. Samples after the last whole segment are not used.
 * Throws RangeError when there is not one whole segment.
 */
export function* welch(values: ArrayLike<number>, settings: WelchSettings): Generator<undefined, PowerDensity> {
  const { rateHz, window, overlap } = settings
  const size = window.length
  const step = size - overlap
  if (!(step >= 1 && overlap >= 0)) throw new RangeError(`overlap: expected 0 to ${size - 1}, got ${overlap}`)
  const segments = Math.floor((values.length - overlap) / step)
  if (!(segments >= 1)) throw new RangeError(`values: expected ${size} or more, got ${values.length}`)
  const density = new Float64Array(size / 2 + 1)
  const squares = window.reduce((sum, w) => sum + w * w, 0)
  for (let s = 0; s < segments; s++) {
    addPower(density, values, s * step, settings)
    yield
  }
  const scale = 1 / (rateHz * squares * segments)
  for (let k = 0; k < density.length; k++) {
    const isDoubled = k > 0 && k < size / 2
    density[k] = (density[k] ?? 0) * scale * (isDoubled ? 2 : 1)
  }
  return { density, binHz: rateHz / size, segments }
}

/** Adds |X_k|² of the segment that begins at `start`. */
function addPower(power: Float64Array, values: ArrayLike<number>, start: number, settings: WelchSettings): void {
  const { window } = settings
  const plan = FourierPlan.of(window.length)
  const { input } = plan
  for (let i = 0; i < input.length; i++) input[i] = values[start + i] ?? Number.NaN
  detrend(input, settings.detrend)
  for (let i = 0; i < input.length; i++) input[i] = (input[i] ?? 0) * (window[i] ?? 0)
  const out = plan.transform()
  for (let k = 0; k < power.length; k++)
    power[k] = (power[k] ?? 0) + (out[2 * k] ?? 0) ** 2 + (out[2 * k + 1] ?? 0) ** 2
}

/** Runs a generator to its end without letting anything else run. */
export function finish<T>(steps: Generator<undefined, T>): T {
  for (;;) {
    const { done, value } = steps.next()
    if (done === true) return value
  }
}
