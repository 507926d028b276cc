import type { FigureLimit } from '../../shared/schemas/now.ts'
import type { Drift } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { SIDE_NAMES } from '../statistics/systematic.ts'
import { shortDuration } from '../statistics/words.ts'
import { AGREEMENT_LIMITS } from '../verdicts/agreement-rule.ts'
import type { Stretch } from './compare.ts'
import { estimateDrift } from './drift-estimate.ts'
import { type DriftSpec, seriesDrift, waitingDrift } from './drift-figure.ts'
import { DRIFT_FORMULAS } from './formulas.ts'
import type { ShiftOptions } from './shift-options.ts'
import { LEAST_RAN_MS } from './tracked.ts'
import { stretchesOf, zeroSeries } from './zero-track.ts'

/** A zero drifts from so many minutes on, in so many stretches: from fewer, nobody can tell a drift from what it does between them (from three the interval missed the truth in every twelfth seeded shift). */
const LEAST_ZERO_MINUTES = 10
const LEAST_ZERO_STRETCHES = 4

/** The drift of each side's zero, in % of span where the span is known. */
export function zeroDrifts({ zeros }: Stretch, { sides, spansN, rateLimit }: ShiftOptions): Drift[] {
  const wait = zeroWaitsFor(zeros)
  return sides.map((side) => {
    const span = spansN?.[side]
    const spec: DriftSpec = {
      quantity: `zero_${side}`,
      unit: 'N',
      rateUnit: span === undefined ? 'N/h' : '%/h',
      scale: span === undefined ? 1 : 100 / span,
      formula: DRIFT_FORMULAS.zero,
      // Without geometry nobody knows the span that a limit in % is of.
      rateLimit: span === undefined ? null : rateLimit,
      limit: span === undefined ? null : zeroLimit(span),
    }
    if (wait !== undefined) return waitingDrift(spec, wait)
    const series = zeroSeries(zeros, side)
    const estimate = estimateDrift(series)
    return estimate === undefined
      ? waitingDrift(spec, `there are too few minutes of the ${SIDE_NAMES[side]} with a slack web`)
      : seriesDrift(spec, series, estimate)
  })
}

/** A zero may use up the part of the agreement limit that is a share of span. */
function zeroLimit(spanN: number): FigureLimit {
  const { ofSpan, source } = AGREEMENT_LIMITS.geometry
  return { target: 0, half: ofSpan * spanN, source: `${100 * ofSpan} % of span, as in the agreement limit; ${source}` }
}

/** What is missing before a zero can be said to drift; undefined when nothing is. */
export function zeroWaitsFor(zeros: readonly ZoneMinute[]): string | undefined {
  const ran = (zeros.at(-1)?.tMs ?? 0) - (zeros[0]?.tMs ?? 0)
  const isEnough =
    zeros.length >= LEAST_ZERO_MINUTES && stretchesOf(zeros).length >= LEAST_ZERO_STRETCHES && ran >= LEAST_RAN_MS
  if (isEnough) return undefined
  return `a zero's drift is told from ${LEAST_ZERO_MINUTES} minutes with the web slack or off, in ${LEAST_ZERO_STRETCHES} stretches that reach over ${shortDuration(LEAST_RAN_MS / 1000)}: ${zeros.length} so far`
}
