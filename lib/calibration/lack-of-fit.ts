import { fUpperTail } from '../statistics/f-distribution.ts'

export interface LackOfFit {
  /** Mean square of the level means about the curve over that of repeats about their mean; null for perfect repeats. */
  readonly f: number | null
  readonly dofLack: number
  readonly dofPure: number
  /** P(F > f) if the curve were right. */
  readonly p: number
  /** Mean square for lack of fit, in the squared unit of y, for a point of weight 1. */
  readonly meanSquareLack: number
}

interface Weighed {
  readonly x: number
  readonly y: number
  readonly weight: number
}

/**
 * Whether the curve misses by more than the repeats scatter: the F test for lack of fit of NIST/SEMATECH
 * e-Handbook 4.4.4.6 (worked in 4.6.1.7). Points of one x are repeats. Undefined without repeats, or when there
 * are no more different x than coefficients.
 *
 * @param residuals of the points about the curve · @param coefficients how many were fitted
 */
export function lackOfFit(
  points: readonly Weighed[],
  residuals: readonly number[],
  coefficients: number,
): LackOfFit | undefined {
  const groups = new Map<number, Weighed[]>()
  for (const point of points) groups.set(point.x, [...(groups.get(point.x) ?? []), point])
  const dofPure = points.length - groups.size
  const dofLack = groups.size - coefficients
  if (dofPure < 1 || dofLack < 1) return undefined
  const all = points.reduce((sum, { weight }, i) => sum + weight * (residuals[i] ?? 0) ** 2, 0)
  const pure = [...groups.values()].reduce((sum, group) => sum + squaresAboutMean(group), 0)
  const meanSquareLack = Math.max(0, all - pure) / dofLack
  if (pure === 0) return { f: null, dofLack, dofPure, p: meanSquareLack > 0 ? 0 : 1, meanSquareLack }
  const f = (meanSquareLack * dofPure) / pure
  return { f, dofLack, dofPure, p: fUpperTail(f, dofLack, dofPure), meanSquareLack }
}

function squaresAboutMean(group: readonly Weighed[]): number {
  const total = group.reduce((sum, { weight }) => sum + weight, 0)
  const mean = group.reduce((sum, { weight, y }) => sum + weight * y, 0) / total
  return group.reduce((sum, { weight, y }) => sum + weight * (y - mean) ** 2, 0)
}
