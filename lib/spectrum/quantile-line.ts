import { quantileOf } from './quantile.ts'

/** A straight line through points. */
export interface Line {
  at(x: number): number
  /** Variance of the line at `x` over that of one point, were it fitted by least squares. */
  spread(x: number): number
}

const ROUNDS = 8
/** Distances under this count as this: the weights stay finite. In units of the points' own spread. */
const NEAR = 1e-3

/**
 * `quantileLine` with its slope kept within [lowest, highest]: outside, the quantile about the nearest slope allowed.
 */
export function boundedQuantileLine(
  x: readonly number[],
  y: readonly number[],
  p: number,
  [lowest, highest]: readonly [number, number],
): Line {
  const free = quantileLine(x, y, p)
  const slope = free.at(1) - free.at(0)
  const bounded = Math.min(highest, Math.max(lowest, slope))
  if (!(x.length >= 3) || bounded === slope) return free
  const at0 = quantileOf(
    y.map((value, i) => value - bounded * (x[i] ?? 0)),
    p,
  )
  return { at: (at) => at0 + bounded * at, spread: free.spread }
}

/**
 * The line that leaves a share `p` of the points below it (R. Koenker, G. Bassett, Econometrica 46 (1978)), by least
 * squares with weights made anew each round: points far above it pull no more than near ones. Level −∞ for no points,
 * level for fewer than three.
 */
function quantileLine(x: readonly number[], y: readonly number[], p: number): Line {
  const n = x.length
  if (n < 3) return level(n === 0 ? Number.NEGATIVE_INFINITY : Math.min(...y), Math.max(1, n))
  const middle = x.reduce((sum, value) => sum + value / n, 0)
  const square = x.reduce((sum, value) => sum + (value - middle) ** 2, 0)
  const near = NEAR * (Math.max(...y) - Math.min(...y)) || NEAR
  let fit = weightedLine(x, y, () => 1, middle)
  for (let round = 0; round < ROUNDS; round++) {
    const { a, b } = fit
    fit = weightedLine(
      x,
      y,
      (i) => {
        const residual = (y[i] ?? 0) - a - b * ((x[i] ?? 0) - middle)
        return (residual > 0 ? p : 1 - p) / Math.max(near, Math.abs(residual))
      },
      middle,
    )
  }
  return {
    at: (at) => fit.a + fit.b * (at - middle),
    spread: (at) => 1 / n + (square === 0 ? 0 : (at - middle) ** 2 / square),
  }
}

const level = (value: number, n: number): Line => ({ at: () => value, spread: () => 1 / n })

/** y ≈ a + b(x − middle). */
function weightedLine(
  x: readonly number[],
  y: readonly number[],
  weight: (i: number) => number,
  middle: number,
): { a: number; b: number } {
  let [w, wx, wy, wxx, wxy] = [0, 0, 0, 0, 0]
  for (let i = 0; i < x.length; i++) {
    const own = weight(i)
    const dx = (x[i] ?? 0) - middle
    const value = y[i] ?? 0
    w += own
    wx += own * dx
    wy += own * value
    wxx += own * dx * dx
    wxy += own * dx * value
  }
  const determinant = w * wxx - wx * wx
  if (!(determinant > 0)) return { a: wy / w, b: 0 }
  return { a: (wxx * wy - wx * wxy) / determinant, b: (w * wxy - wx * wy) / determinant }
}
