/** How well a reading repeats. */
export interface Scatter {
  /** Standard deviation of one reading, in the signal's unit. */
  readonly sd: number
  /** Infinity for a stated one. */
  readonly dof: number
}

/**
 * Standard deviation of one reading from repeats: √(Σ(y − group mean)²/Σ(n − 1)), pure error of NIST/SEMATECH
 * e-Handbook 4.4.4.6. The stated uncertainties (their root mean square) are taken where there are no repeats, or
 * where repeats agree better than what is stated. Undefined when neither tells anything.
 *
 * @param groups readings that should agree, group by group · @param stated null: not stated for that reading
 */
export function scatterOf(
  groups: readonly (readonly number[])[],
  stated: readonly (number | null)[],
): Scatter | undefined {
  const fromStated = statedScatter(stated)
  const dof = groups.reduce((sum, group) => sum + Math.max(0, group.length - 1), 0)
  if (dof === 0) return fromStated
  const squares = groups.reduce((sum, group) => sum + squaresAboutMean(group), 0)
  const sd = Math.sqrt(squares / dof)
  return fromStated !== undefined && fromStated.sd > sd ? fromStated : { sd, dof }
}

function statedScatter(stated: readonly (number | null)[]): Scatter | undefined {
  if (stated.length === 0 || stated.some((u) => u === null)) return undefined
  const square = stated.reduce<number>((sum, u) => sum + (u ?? 0) ** 2, 0) / stated.length
  return { sd: Math.sqrt(square), dof: Number.POSITIVE_INFINITY }
}

/** Σ(y − ȳ)² of a group; 0 when empty. */
function squaresAboutMean(group: readonly number[]): number {
  const mean = group.reduce((sum, y) => sum + y, 0) / Math.max(1, group.length)
  return group.reduce((sum, y) => sum + (y - mean) ** 2, 0)
}
