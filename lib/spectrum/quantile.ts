/** The value at a share of the sorted numbers, the nearest lower one; NaN of none. */
export function quantileOf(values: ArrayLike<number>, share: number): number {
  const sorted = Float64Array.from(values).sort()
  return sorted[Math.floor(share * (sorted.length - 1))] ?? Number.NaN
}
