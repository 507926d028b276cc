import { t95 } from '../statistics/student-t.ts'
import { type Distribution, type MonteCarloOptions, monteCarlo } from './monte-carlo.ts'
import { type Model, type Propagated, propagate } from './propagate.ts'
import { numericalTolerance } from './tolerance.ts'
import type { Correlation, Input } from './uncertain.ts'

/** How far the linear interval's ends lie from the Monte Carlo's, and whether that matters. */
export interface Comparison {
  readonly lowDifference: number
  readonly highDifference: number
  /** Half a unit of the last digit of u that is kept. */
  readonly tolerance: number
  /** Both differences within the tolerance, or within twice what the draws themselves leave open. */
  readonly agree: boolean
}

/** An output by both ways, and the one that counts. */
export interface Estimate {
  /** `monte-carlo` where the two disagree. */
  readonly method: 'linear' | 'monte-carlo'
  readonly value: number
  readonly u: number
  /** Half-width of the interval: its longer side where it is lopsided. */
  readonly U: number
  /** About 95 %. */
  readonly low: number
  readonly high: number
  readonly linear: Propagated
  readonly distribution: Distribution
  readonly comparison: Comparison
}

/**
 * Holds the linear interval y ± t₉₅(ν_eff)·u against the Monte Carlo's (JCGM 101, clause 8.1): both ends must agree
 * within the numerical tolerance of u to `digits`. A draw at which the output is undefined is a disagreement.
 */
export function compare(linear: Propagated, distribution: Distribution, digits: 1 | 2): Comparison {
  const half = t95(Math.max(1, linear.dof ?? Number.POSITIVE_INFINITY)) * linear.u
  const lowDifference = Math.abs(linear.value - half - distribution.low)
  const highDifference = Math.abs(linear.value + half - distribution.high)
  const tolerance = numericalTolerance(distribution.u, digits)
  const allowed = Math.max(tolerance, 2 * distribution.error)
  return {
    lowDifference,
    highDifference,
    tolerance,
    agree: lowDifference <= allowed && highDifference <= allowed && distribution.undefinedDraws === 0,
  }
}

/** Every output by linear propagation, checked by Monte Carlo, which takes over where the two disagree. */
export function estimate(
  model: Model,
  inputs: readonly Input[],
  correlations: readonly Correlation[],
  options: MonteCarloOptions,
): Estimate[] {
  const distributions = monteCarlo(model, inputs, correlations, options)
  return propagate(model, inputs, correlations).map((linear, i) => {
    const distribution = distributions[i] as Distribution
    const comparison = compare(linear, distribution, options.digits)
    const both = { linear, distribution, comparison }
    if (comparison.agree) {
      const { value, u, U } = linear
      return { method: 'linear', value, u, U, low: value - U, high: value + U, ...both }
    }
    const { mean, u, low, high } = distribution
    return { method: 'monte-carlo', value: mean, u, U: Math.max(mean - low, high - mean), low, high, ...both }
  })
}
