import { kendallVariance } from './mann-kendall.ts'
import { medianOf, selectKth } from './select.ts'

export interface TheilSenLine {
  /** y a unit of x. */
  readonly slope: number
  /** Median of y less slope × median of x. */
  readonly intercept: number
  /**
   * Sen's interval of the slope: the slopes whose ranks lie z·√Var(S) about the middle. z is 1.96 for 95 %;
   * `varianceFactor` is what autocorrelation multiplies the variance of Kendall's S by, 1 for independent values.
   */
  interval(z: number, varianceFactor?: number): { readonly low: number; readonly high: number }
}

/**
 * Theil–Sen line: the median of the slopes of all pairs of points of unlike x (H. Theil 1950; P. K. Sen, "Estimates of
 * the regression coefficient based on Kendall's tau", J. Am. Stat. Assoc. 63 (1968) 1379–1389, with its interval). 29 %
 * of the points may be anything before the slope can go anywhere. `segment` tells which stretch each point belongs to,
 * growing: no slope is taken across two of them. O(n²). Undefined without two points of unlike x.
 */
export function theilSen(
  x: readonly number[],
  y: readonly number[],
  segment?: readonly number[],
): TheilSenLine | undefined {
  const slopes = slopesOf(x, y, segment)
  const n = slopes.length
  if (n === 0) return undefined
  const slope = medianOf(slopes)
  return {
    slope,
    intercept: medianOf(Float64Array.from(y)) - slope * medianOf(Float64Array.from(x)),
    interval(z, varianceFactor = 1) {
      const spread = z * Math.sqrt(varianceFactor * kendallVariance(x, y, segment))
      return {
        low: selectKth(slopes, n, Math.max(0, Math.round((n - spread) / 2) - 1)),
        high: selectKth(slopes, n, Math.min(n - 1, Math.round((n + spread) / 2))),
      }
    },
  }
}

function slopesOf(x: readonly number[], y: readonly number[], segment: readonly number[] | undefined): Float64Array {
  const slopes = new Float64Array((x.length * (x.length - 1)) / 2)
  let n = 0
  for (let i = 0; i < x.length; i += 1) {
    const x0 = x[i] as number
    const y0 = y[i] as number
    for (let j = i + 1; j < x.length; j += 1) {
      if (segment !== undefined && segment[j] !== segment[i]) break
      const dx = (x[j] as number) - x0
      if (dx === 0) continue
      slopes[n] = ((y[j] as number) - y0) / dx
      n += 1
    }
  }
  return slopes.subarray(0, n)
}
