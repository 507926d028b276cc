import { useState } from 'react'
import {
  estimateExpected,
  type UncertainFigures,
  type UncertaintyRequest,
} from '../../../lib/geometry/expected-uncertainty.ts'
import type { Estimate } from '../../../lib/uncertainty/estimate.ts'
import { MONTE_CARLO, type MonteCarloOptions } from '../../../lib/uncertainty/monte-carlo.ts'
import { useUnits } from '../../_ui/units.tsx'
import { figureInWords, partInWords } from './budget-words.ts'
import styles from './Figures.module.css'

/** The same figure from either way of computing its uncertainty. */
export type FigureOf = <F>(figures: UncertainFigures<F>) => F

/** Two digits of u in most cases, in a second or so of one core. */
const DRAWS: MonteCarloOptions = { ...MONTE_CARLO, mostBatches: 20 }

interface MonteCarloCheckProps {
  readonly request: UncertaintyRequest
  readonly of: FigureOf
  readonly unit: string
}

/** Draws every input from its distribution, and says whether the table above may be believed. */
export function MonteCarloCheck({ request, of, unit }: MonteCarloCheckProps) {
  const units = useUnits()
  const [done, setDone] = useState<{
    readonly request: UncertaintyRequest
    readonly figures: UncertainFigures<Estimate>
  } | null>(null)
  const estimate = done !== null && done.request === request ? of(done.figures) : null
  return (
    <div className={styles.check}>
      <button
        type="button"
        className="control"
        disabled={estimate !== null}
        onClick={() => setDone({ request, figures: estimateExpected(request, DRAWS) })}
      >
        Check by Monte Carlo
      </button>
      <p data-testid="monte-carlo" aria-live="polite">
        {estimate === null ? (
          <span className={styles.soft}>Draws every input from its distribution (JCGM 101) and compares.</span>
        ) : (
          `${estimate.distribution.draws} draws: ${figureInWords(estimate.distribution.mean, 2 * estimate.distribution.u, unit, units)} (mean ± 2u), 95 % of them from ${partInWords(estimate.distribution.low, unit, units)} to ${partInWords(estimate.distribution.high, unit, units)}. ${estimate.method === 'linear' ? 'The table agrees with it.' : 'The table does not agree with it: believe the draws.'}`
        )}
      </p>
    </div>
  )
}
