import { fUpperTail } from '../statistics/f-distribution.ts'
import { HANN_INTEGRALS, independentSegments, LOBE_BINS } from './hann.ts'
import { type NoiseFloor, noiseFloor } from './noise-floor.ts'
import type { SignalSpectrum } from './signal-spectrum.ts'

/** A line that stands out of the noise. */
export interface SpectralLine {
  readonly frequencyHz: number
  /** Standard uncertainty of the frequency. */
  readonly uFrequencyHz: number
  /** Amplitude of the sine (half its peak to peak) and its standard uncertainty from noise; null too near half the sampling rate. */
  readonly amplitude: number | null
  readonly uAmplitude: number | null
  /** Chance that noise alone shows a line as high anywhere in this spectrum. */
  readonly falseAlarm: number
}

export interface LinesFound {
  /** By frequency. */
  readonly lines: readonly SpectralLine[]
  readonly floor: NoiseFloor
}

/** Below this bin the window cannot tell a line from a drift. */
export const LOWEST_BIN = 3
/** Nearer than this to half the rate a line and its own alias overlap: its height depends on its phase. */
const NYQUIST_BINS = 3
/** A line's skirt: speed is never quite steady. Weaker neighbours of less than a tenth of its amplitude are part of it. */
const SKIRT_BINS = 8
const SKIRT_POWER = 0.01
const MOST_LINES = 16
/** Correlation of the noise in two neighbouring bins of the Hann window. */
const NEIGHBOURS_ALIKE = 2 / 3
/** Σ of the correlations of power between the five bins of a lobe (4/9 next, 1/36 next but one). */
const LOBE_NOISE = 5 + 8 * (4 / 9) + 6 / 36

/**
 * Lines whose chance to be noise is at most `alpha` for the whole spectrum. Under noise alone a bin over the floor
 * follows F with twice the independent segments and the floor's degrees of freedom; with m bins the chance is
 * 1 − (1 − p)^m. The strongest is taken first and what it scatters is not taken for lines; then the floor is found
 * again without them. Hands back control between the two.
 */
export function* findLines(spectrum: SignalSpectrum, alpha: number): Generator<undefined, LinesFound> {
  const dof = 2 * independentSegments(spectrum.segments)
  const first = noiseFloor(spectrum.density, dof, () => false)
  const peaks = pickPeaks(spectrum, first, dof, alpha)
  yield
  const isLine = (bin: number) => peaks.some((peak) => Math.abs(peak - bin) <= LOBE_BINS + 1)
  const floor = noiseFloor(spectrum.density, dof, isLine)
  yield
  const kept = pickPeaks(spectrum, floor, dof, alpha)
  const lines = kept.map((bin) => lineAt(bin, spectrum, floor, dof))
  return { lines: lines.sort((a, b) => a.frequencyHz - b.frequencyHz), floor }
}

/** Bins of the peaks, strongest first. */
function pickPeaks({ density, leak }: SignalSpectrum, floor: NoiseFloor, dof: number, alpha: number): number[] {
  const taken: number[] = []
  const candidates = localPeaks(density).sort((a, b) => (density[b] ?? 0) - (density[a] ?? 0))
  for (const bin of candidates) {
    const scattered = taken.reduce((sum, line) => {
      const apart = Math.abs(line - bin)
      const share = Math.max(leak(apart), apart <= SKIRT_BINS ? SKIRT_POWER : 0)
      return sum + share * (density[line] ?? 0)
    }, 0)
    const noise = (floor.density[bin] ?? 0) + 2 * scattered
    const chance = chanceOf((density[bin] ?? 0) / noise, dof, floor.dof[bin] ?? 1, density.length)
    if (chance <= alpha) taken.push(bin)
    if (taken.length === MOST_LINES) break
  }
  return taken
}

/** Bins from LOWEST_BIN on that no other within the lobe overtops. */
function localPeaks(density: Float64Array): number[] {
  const peaks: number[] = []
  for (let k = LOWEST_BIN; k < density.length; k++) {
    let isHighest = (density[k] ?? 0) > 0
    for (let j = Math.max(0, k - LOBE_BINS); j <= k + LOBE_BINS; j++)
      if (j !== k && (density[j] ?? 0) > (density[k] ?? 0)) isHighest = false
    if (isHighest) peaks.push(k)
  }
  return peaks
}

/** Chance that one of `bins` stands `ratio` times over the floor by noise alone. */
function chanceOf(ratio: number, dof: number, floorDof: number, bins: number): number {
  if (!(ratio > 1)) return 1
  return -Math.expm1(bins * Math.log1p(-fUpperTail(ratio, dof, floorDof)))
}

function lineAt(bin: number, spectrum: SignalSpectrum, floor: NoiseFloor, dof: number): SpectralLine {
  const { density, binHz } = spectrum
  const noise = floor.density[bin] ?? 0
  const floorDof = floor.dof[bin] ?? 1
  const isFolded = bin > density.length - 1 - NYQUIST_BINS
  const size = isFolded ? null : amplitudeAt(bin, spectrum, noise, floorDof)
  const place = placeAt(bin, density, noise, dof / 2)
  return {
    frequencyHz: place.bin * binHz,
    uFrequencyHz: place.u * binHz,
    amplitude: size?.amplitude ?? null,
    uAmplitude: size?.u ?? null,
    falseAlarm: chanceOf((density[bin] ?? 0) / noise, dof, floorDof, density.length),
  }
}

/** Power within the lobe of a line at this bin, noise and all. */
export function lobePower({ density, binHz }: SignalSpectrum, bin: number): number {
  let power = 0
  for (let k = bin - LOBE_BINS; k <= bin + LOBE_BINS; k++) power += (density[k] ?? 0) * binHz
  return power
}

/**
 * Amplitude from the power in the lobe less the noise in it, so that it does not depend on where between two bins the
 * line falls (0.05 % at most). Its variance: line times noise S·(K∫w⁴ + 2(K − 1)∫w²w²₊½)/(K²(∫w²)²T), as the averaged
 * square of a sine in noise has it; noise times noise; and the floor's own.
 */
function amplitudeAt(bin: number, spectrum: SignalSpectrum, noise: number, floorDof: number) {
  const { binHz, segments, captured } = spectrum
  const bins = 2 * LOBE_BINS + 1
  const power = lobePower(spectrum, bin) - bins * noise * binHz
  const amplitude = Math.sqrt(Math.max(0, (2 * power) / captured))
  const { square, fourth, halfShifted } = HANN_INTEGRALS
  const averaged = (segments * fourth + 2 * (segments - 1) * halfShifted) / (segments * square) ** 2
  const withLine = amplitude ** 2 * noise * averaged * binHz
  const alone = (LOBE_NOISE / independentSegments(segments) + (2 * bins ** 2) / floorDof) * (noise * binHz) ** 2
  return { amplitude, u: amplitude === 0 ? Math.sqrt(alone) : Math.sqrt(withLine + alone) / amplitude }
}

/**
 * Where between two bins a line stands, from the two highest: δ = (2α − 1)/(α + 1) for Hann (T. Grandke, IEEE Trans.
 * Instrum. Meas. 32 (1983)); u by what noise does to α, and never under a hundredth of a bin.
 */
function placeAt(bin: number, density: Float64Array, noise: number, segments: number): { bin: number; u: number } {
  const height = (k: number): number => Math.sqrt(Math.max(0, (density[k] ?? 0) - noise))
  const top = height(bin)
  const side = height(bin + 1) > height(bin - 1) ? 1 : -1
  const alpha = top === 0 ? 0.5 : Math.min(1, height(bin + side) / top)
  const offset = Math.min(0.5, Math.max(-0.5, (2 * alpha - 1) / (alpha + 1)))
  const relative = top === 0 ? 1 : Math.sqrt(noise / (2 * segments)) / top
  const u = (3 / (1 + alpha) ** 2) * relative * Math.sqrt(1 + alpha * alpha - 2 * NEIGHBOURS_ALIKE * alpha)
  return { bin: bin + side * offset, u: Math.min(0.5, Math.max(0.01, u)) }
}
