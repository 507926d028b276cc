import { medianOf } from './select.ts'

/** Standard deviations in a median absolute deviation of the normal distribution: 1/Φ⁻¹(3/4). */
const PER_MAD = 1.482602218505602

/** 1.4826 × the median absolute deviation from the median: the standard deviation of normal values, whatever a few outliers say. */
export function robustSd(values: readonly number[]): number {
  const middle = medianOf(Float64Array.from(values))
  return PER_MAD * medianOf(Float64Array.from(values, (value) => Math.abs(value - middle)))
}

/** Values beyond ± `most` drawn in to it (winsorised); all as they are where `most` is 0. */
export function drawnIn(values: readonly number[], most: number): number[] {
  return most > 0 ? values.map((value) => Math.min(most, Math.max(-most, value))) : [...values]
}
