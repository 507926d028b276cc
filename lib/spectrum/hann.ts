/**
 * The Hann window and what it does to a line. Figures of merit: F. J. Harris, "On the use of windows for harmonic
 * analysis with the discrete Fourier transform", Proc. IEEE 66 (1978), table 1.
 */

/** Periodic Hann window of `n` points: sin²(πi/n). */
export function hannWindow(n: number): Float64Array {
  return Float64Array.from({ length: n }, (_, i) => hannAt(i / n))
}

/** The window at a share of its length, 0 outside [0, 1]. */
export const hannAt = (share: number): number => (share < 0 || share > 1 ? 0 : Math.sin(Math.PI * share) ** 2)

export const HANN_NOISE_BANDWIDTH = 1.5
/** Two lines nearer than this are seen as one: the width of the lobe 6 dB down, in bins. */
export const HANN_RESOLUTION = 2
/** Bins on each side of a line that hold its power: 99.95 % of it at the worst place between two bins. */
export const LOBE_BINS = 2

/** Height of the window's lobe `x` bins from a line's own place, 1 at the line: sinc(x)/(1 − x²). */
export function hannLobe(x: number): number {
  const size = Math.abs(x)
  if (size < 1e-9) return 1
  if (Math.abs(size - 1) < 1e-6) return 0.5
  return Math.sin(Math.PI * size) / (Math.PI * size * (1 - size * size))
}

/** ∫w², ∫w⁴ and ∫w²(x)·w²(x + ½) over the window's length of 1: what averaging leaves of a line's noise. */
export const HANN_INTEGRALS = { square: 3 / 8, fourth: 35 / 128, halfShifted: 3 / 256 } as const

/**
 * Segments overlapping by half that would tell as much if they did not overlap: K/(1 + 2ρ²(K − 1)/K), ρ² = 1/36
 * (P. D. Welch, IEEE Trans. Audio Electroacoust. 15 (1967)).
 */
export const independentSegments = (segments: number): number => segments / (1 + (segments - 1) / (18 * segments))
