/** Sums of what goes beyond an allowance, upwards and downwards. */
export interface Cusum {
  readonly high: readonly number[]
  readonly low: readonly number[]
}

/**
 * Tabular cumulative sums about a target: S_hi' = max(0, S_hi + x − target − k), S_lo' = max(0, S_lo + target − k − x)
 * (E. S. Page, Biometrika 41 (1954) 100–115; NIST/SEMATECH e-Handbook 6.3.2.3). Both begin at 0; a signal is a sum
 * above h.
 */
export function cusum(x: readonly number[], target: number, k: number): Cusum {
  let up = 0
  let down = 0
  const high: number[] = []
  const low: number[] = []
  for (const value of x) {
    up = Math.max(0, up + value - target - k)
    down = Math.max(0, down + target - k - value)
    high.push(up)
    low.push(down)
  }
  return { high, low }
}
