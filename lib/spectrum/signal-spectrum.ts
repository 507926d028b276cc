import { detrend } from './detrend.ts'
import { HANN_NOISE_BANDWIDTH, hannAt, hannLobe, hannWindow, LOBE_BINS } from './hann.ts'
import { lombScargle } from './lomb-scargle.ts'
import { isEven, type Spacing, spacingOf } from './spacing.ts'
import { fastSums } from './uneven-sums.ts'
import { type PowerDensity, welch } from './welch.ts'

/** One signal's good samples in order of time; nothing stands for one that is missing. */
export interface SignalSamples {
  /** Seconds from any origin. */
  readonly times: Float64Array
  readonly values: Float64Array
}

type SpectrumMethod = 'welch' | 'lomb-scargle'

/** A signal's power density, and what it takes to read lines in it. */
export interface SignalSpectrum extends PowerDensity {
  readonly method: SpectrumMethod
  readonly spacing: Spacing
  readonly samples: number
  /** Samples per second. */
  readonly rateHz: number
  /** Equivalent noise bandwidth, Hz: a sine of amplitude A stands A²/(2·this) high. */
  readonly noiseBandwidthHz: number
  /** Share of a line's power within LOBE_BINS of it: under 1 where missing samples scatter it. */
  readonly captured: number
  /** Power of a line's own scatter so many bins away, 1 at the line; the highest there. */
  readonly leak: (bins: number) => number
}

/** A segment is at most a quarter of the stretch, so that seven or more are averaged; and no longer than a plan of reasonable size. */
const SEGMENTS_AT_LEAST = 4
const LONGEST_SEGMENT = 8192
const SHORTEST_SEGMENT = 32
/** A segment with less of its weight present is left out. */
const LEAST_PRESENT = 0.6

/** Fewest samples that make a spectrum: four of the shortest segments. */
export const FEWEST_SAMPLES = SEGMENTS_AT_LEAST * SHORTEST_SEGMENT

/** Samples of one segment for a stretch of `periods` sampling periods. */
function segmentLength(periods: number): number {
  const most = Math.min(LONGEST_SEGMENT, Math.max(SHORTEST_SEGMENT, periods / SEGMENTS_AT_LEAST))
  return 2 ** Math.floor(Math.log2(most))
}

/**
 * The spectrum of one signal: by Welch's method for even samples, by least squares on the same segments and the same
 * window (Lomb–Scargle) when their spacing is uneven or some are missing. Undefined when too few are there, or no
 * segment has enough of its samples. Hands back control after each segment.
 * @param askedHz samples per second that were asked for
 */
export function* signalSpectrum(
  signal: SignalSamples,
  askedHz?: number,
): Generator<undefined, SignalSpectrum | undefined> {
  if (signal.times.length < FEWEST_SAMPLES) return undefined
  const spacing = spacingOf(signal.times, askedHz === undefined ? undefined : 1 / askedHz)
  yield
  return isEven(spacing) ? yield* byWelch(signal, spacing) : yield* byLeastSquares(signal, spacing)
}

function* byWelch({ values }: SignalSamples, spacing: Spacing): Generator<undefined, SignalSpectrum> {
  const rateHz = 1 / spacing.periodS
  const size = segmentLength(values.length)
  const settings = { rateHz, window: hannWindow(size), overlap: size / 2, detrend: 'linear' } as const
  const power = yield* welch(values, settings)
  return {
    ...power,
    method: 'welch',
    spacing,
    samples: values.length,
    rateHz,
    noiseBandwidthHz: HANN_NOISE_BANDWIDTH * power.binHz,
    captured: 1,
    leak: hannLeak,
  }
}

/** Highest power of the Hann lobe from `bins` on, between its zeros: 1/(πx(x² − 1)), squared. */
function hannLeak(bins: number): number {
  return bins <= 2 ? hannLobe(bins) ** 2 : (Math.PI * bins * (bins * bins - 1)) ** -2
}

function* byLeastSquares(signal: SignalSamples, spacing: Spacing): Generator<undefined, SignalSpectrum | undefined> {
  const { times } = signal
  const begin = times[0] ?? 0
  const periods = Math.round(((times[times.length - 1] ?? 0) - begin) / spacing.periodS) + 1
  const size = segmentLength(periods)
  const count = size / 2
  const seconds = size * spacing.periodS
  const sum = new LeastSquaresSum(count, 1 / spacing.periodS, seconds)
  // Half a segment further each time; the last one ends with the newest sample or a little before.
  for (let s = 0; (s / 2 + 1) * size <= periods; s++) {
    sum.add(signal, begin + (s * seconds) / 2)
    yield
  }
  if (sum.segments === 0) return undefined
  return { ...sum.spectrum(), method: 'lomb-scargle', spacing, samples: times.length }
}

/** Adds up the least-squares spectra of segments and of their windows. */
class LeastSquaresSum {
  readonly #density: Float64Array
  /** |Σw e^(iωt)|²/(Σw)², what a line scatters where samples are missing. */
  readonly #scatter: Float64Array
  readonly #rateHz: number
  readonly #seconds: number
  #bandwidth = 0
  #segments = 0

  constructor(count: number, rateHz: number, seconds: number) {
    this.#density = new Float64Array(count)
    this.#scatter = new Float64Array(count)
    this.#rateHz = rateHz
    this.#seconds = seconds
  }

  get segments(): number {
    return this.#segments
  }

  add(signal: SignalSamples, begin: number): void {
    const samples = stretchOf(signal, begin, this.#seconds)
    let [w, ww] = [0, 0]
    for (const weight of samples.weights) {
      w += weight
      ww += weight * weight
    }
    const whole = (this.#rateHz * this.#seconds) / 2
    if (!(w >= LEAST_PRESENT * whole)) return
    const bandwidth = (this.#rateHz * ww) / (w * w)
    const count = this.#density.length
    const binHz = 1 / this.#seconds
    lombScargle(samples, binHz, count).forEach(({ amplitudeSquared }, k) => {
      this.#density[k] = (this.#density[k] ?? 0) + amplitudeSquared / (2 * bandwidth)
    })
    const { cos, sin } = fastSums(samples.times, samples.weights, binHz, count)
    for (let k = 0; k < count; k++)
      this.#scatter[k] = (this.#scatter[k] ?? 0) + ((cos[k] ?? 0) ** 2 + (sin[k] ?? 0) ** 2) / (w * w)
    this.#bandwidth += bandwidth
    this.#segments += 1
  }

  spectrum(): Omit<SignalSpectrum, 'method' | 'spacing' | 'samples'> {
    const segments = this.#segments
    const binHz = 1 / this.#seconds
    const noiseBandwidthHz = this.#bandwidth / segments
    const scatter = this.#scatter.map((power) => power / segments)
    let lobe = scatter[0] ?? 1
    for (let k = 1; k <= LOBE_BINS; k++) lobe += 2 * (scatter[k] ?? 0)
    return {
      density: this.#density.map((power) => power / segments),
      binHz,
      segments,
      rateHz: this.#rateHz,
      noiseBandwidthHz,
      captured: Math.min(1, (lobe * binHz) / noiseBandwidthHz),
      leak: (bins) => Math.max(scatter[bins - 1] ?? 0, scatter[bins] ?? 0, scatter[bins + 1] ?? 0),
    }
  }
}

/** The samples of one stretch, their times from its beginning, their straight line taken out, weighted by the window. */
function stretchOf({ times, values }: SignalSamples, begin: number, seconds: number) {
  const from = lowerBound(times, begin)
  const to = lowerBound(times, begin + seconds)
  const own = times.subarray(from, to).map((t) => t - begin)
  const level = values.slice(from, to)
  detrend(level, 'linear')
  return { times: own, values: level, weights: own.map((t) => hannAt(t / seconds)) }
}

/** Index of the first time not before `t`. */
function lowerBound(times: Float64Array, t: number): number {
  let low = 0
  let high = times.length
  while (low < high) {
    const middle = (low + high) >>> 1
    if ((times[middle] ?? 0) < t) low = middle + 1
    else high = middle
  }
  return low
}
