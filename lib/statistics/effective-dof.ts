/** One part of a combined uncertainty. */
export interface UncertaintyPart {
  readonly u: number
  /** Infinity for a part that is known outright. */
  readonly dof: number
}

/**
 * Effective degrees of freedom of √Σu² by the Welch–Satterthwaite formula (JCGM 100, G.4.1):
 * ν = u⁴/Σ(uᵢ⁴/νᵢ). Infinity when no part has finite degrees of freedom or all are zero.
 */
export function effectiveDof(parts: readonly UncertaintyPart[]): number {
  let square = 0
  let fourth = 0
  for (const { u, dof } of parts) {
    square += u * u
    fourth += u ** 4 / dof
  }
  return fourth > 0 ? (square * square) / fourth : Number.POSITIVE_INFINITY
}
