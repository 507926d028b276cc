import { normalTwoTail } from '../../lib/drift/normal.ts'

/** Whether a fault of so many thresholds was found. */
export interface Trial {
  readonly times: number
  readonly isFound: boolean
}

/** Sizes at which a half and nine of ten are found, in thresholds. */
export interface FoundAt {
  readonly half: number
  readonly nineOfTen: number
}

/** A curve is not steeper than this and not flatter (spread of ln size), so that trials of one outcome alone do not run away. */
const SPREADS = [0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.6, 0.8, 1.2] as const
const MIDDLES = Array.from({ length: 81 }, (_, i) => Math.exp(Math.log(0.05) + (i * Math.log(200)) / 80))
const NINE_OF_TEN = 1.2816

/**
 * Probit of found on ln size (Finney, Probit Analysis, 1947), the likeliest of a grid of middles and spreads; null where
 * all or none of the trials were found: there is no size to tell then.
 */
export function foundAt(trials: readonly Trial[]): FoundAt | null {
  const finite = trials.filter(({ times }) => Number.isFinite(times) && times > 0)
  if (finite.every(({ isFound }) => isFound) || finite.every(({ isFound }) => !isFound)) return null
  let best = { likelihood: Number.NEGATIVE_INFINITY, middle: 1, spread: 1 }
  for (const middle of MIDDLES)
    for (const spread of SPREADS) {
      const likelihood = finite.reduce((sum, { times, isFound }) => {
        const missed = missedAt(Math.log(times / middle) / spread)
        return sum + Math.log(Math.max(1e-3, isFound ? 1 - missed : missed))
      }, 0)
      if (likelihood > best.likelihood) best = { likelihood, middle, spread }
    }
  return { half: best.middle, nineOfTen: best.middle * Math.exp(NINE_OF_TEN * best.spread) }
}

/** P(Z > z). */
const missedAt = (z: number): number => (z < 0 ? 1 - normalTwoTail(-z) / 2 : normalTwoTail(z) / 2)
