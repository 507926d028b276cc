/**
 * Exponentially weighted moving average: z' = z + λ(x − z), begun at `start` (S. W. Roberts, Technometrics 1 (1959)
 * 239–250; NIST/SEMATECH e-Handbook 6.3.2.4). One value for each x.
 */
export function ewma(x: readonly number[], lambda: number, start: number): number[] {
  let z = start
  return x.map((value) => {
    z += lambda * (value - z)
    return z
  })
}

/** Half-width of its control limits in standard deviations of x: L·√(λ/(2 − λ)), as it becomes after some values. */
export const ewmaLimit = (lambda: number, L: number): number => L * Math.sqrt(lambda / (2 - lambda))
