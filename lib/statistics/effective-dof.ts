/** One part of a combined uncertainty. */
export interface UncertaintyPart {
  readonly u: number
  /** Infinity for a part that is known outright. */
  readonly dof: number
}

/**
 * Effective degrees of freedom of √Σu² by the Welch–Satterthwaite formula (JCGM 100, G.4.1):
 * ν = u⁴/Σ(uᵢ⁴/νᵢ). Infinity when no part has finite degrees of freedom, all are zero, or one is without bound. Taken
 * relative to the largest part, so that no fourth power overflows or vanishes.
 */
export function effectiveDof(parts: readonly UncertaintyPart[]): number {
  const largest = parts.reduce((most, { u }) => Math.max(most, Math.abs(u)), 0)
  if (!(largest > 0) || !Number.isFinite(largest)) return Number.POSITIVE_INFINITY
  let square = 0
  let fourth = 0
  for (const { u, dof } of parts) {
    const share = u / largest
    square += share * share
    fourth += share ** 4 / dof
  }
  return fourth > 0 ? (square * square) / fourth : Number.POSITIVE_INFINITY
}
