export interface Range {
  readonly min: number
  readonly max: number
}

/** The scale of a plot in which there is nothing yet: it has a height, but no numbers stand on it. */
export const UNSCALED: Range = { min: 0, max: 1 }

/** The scale is made anew when the values fill less than this share of it, or leave it. */
const LEAST_FILL = 0.45
const PADDING = 0.12

/**
 * Scale for values from `lo` to `hi`: the scale before, while they lie in it and fill it well enough,
 * else a new one on round ends. A scale that trembles with every sample would hide the trembling of
 * the signal.
 */
export function yRange(last: Range | null, extent: { lo: number; hi: number } | null, fromZero: boolean): Range {
  if (extent === null) return last ?? UNSCALED
  const before = last === UNSCALED ? null : last
  const lo = fromZero ? Math.min(0, extent.lo) : extent.lo
  const hi = fromZero ? Math.max(0, extent.hi) : extent.hi
  const isInside = before !== null && lo >= before.min && hi <= before.max
  if (isInside && hi - lo >= (before.max - before.min) * LEAST_FILL) return before
  return freshRange(lo, hi, fromZero)
}

function freshRange(lo: number, hi: number, fromZero: boolean): Range {
  // A flat line still needs a height: a thousandth of its value, so that its noise would show.
  const spread = Math.max(hi - lo, Math.max(Math.abs(lo), Math.abs(hi)) * 1e-3, 1e-6)
  const pad = spread * PADDING
  const step = roundStep((spread + 2 * pad) / 8)
  const min = fromZero && lo >= 0 ? 0 : Math.floor((lo - pad) / step) * step
  const max = fromZero && hi <= 0 && lo < 0 ? 0 : Math.ceil((hi + pad) / step) * step
  return { min, max }
}

/** The nearest 1, 2 or 5 times a power of ten, not under `step`. */
export function roundStep(step: number): number {
  const power = 10 ** Math.floor(Math.log10(step))
  const lead = step / power
  return (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10) * power
}

/** Decimals that tell two marks `step` apart from each other. */
export function decimalsFor(step: number): number {
  return Math.max(0, Math.min(6, -Math.floor(Math.log10(step) + 1e-9)))
}
