import type { FigureLimit } from '../../shared/schemas/now.ts'
import type { Drift } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { shortDuration } from '../statistics/words.ts'
import { agreementLimit } from '../verdicts/agreement.ts'
import { AGREEMENT_LIMITS } from '../verdicts/agreement-rule.ts'
import type { Stretch } from './compare.ts'
import { type DriftEstimate, estimateDrift } from './drift-estimate.ts'
import { type DriftSpec, seriesDrift, waitingDrift } from './drift-figure.ts'
import { DRIFT_FORMULAS } from './formulas.ts'
import { MINUTE_MS, type MinuteSeries, minuteSeries } from './minute-series.ts'
import { medianOf } from './select.ts'
import type { ShiftOptions } from './shift-options.ts'
import { findSteps, type StepFound, segmentsOf } from './steps.ts'

/** A drift is told from so many steady minutes on, that reach over so much time: a rate an hour out of less is the web's wander (common practice, no source). */
const LEAST_MINUTES = 30
export const LEAST_RAN_MS = 30 * MINUTE_MS

type Tells = (minute: ZoneMinute) => number | null | undefined

/** A quantity of steady minutes, followed through the stretch. */
export interface Tracked {
  readonly spec: DriftSpec
  readonly series: MinuteSeries
  readonly steps: readonly StepFound[]
  /** Undefined with too few minutes. */
  readonly estimate: DriftEstimate | undefined
  readonly drift: Drift
}

/** Agreement and side difference, where the zone has them. */
export function trackedOf({ judged }: Stretch, options: ShiftOptions): Tracked[] {
  const { hasGeometry, sides, rateLimit, sideDifferenceLimit } = options
  const common = { unit: '%', scale: 1, rateLimit } as const
  const tracked: Tracked[] = []
  if (hasGeometry)
    tracked.push(
      track(
        {
          ...common,
          quantity: 'agreement',
          rateUnit: '%/h',
          formula: DRIFT_FORMULAS.agreement,
          limit: agreementPercent(judged, options),
        },
        judged,
        ({ residual }) => residual,
      ),
    )
  if (sides.length === 2)
    tracked.push(
      track(
        {
          ...common,
          quantity: 'side_difference',
          rateUnit: 'points/h',
          formula: DRIFT_FORMULAS.sideDifference,
          limit: sideDifferenceLimit,
        },
        judged,
        ({ imbalance }) => imbalance,
      ),
    )
  return tracked
}

/** The agreement's limit as % of the expected tension of the stretch; null while nothing is expected. */
function agreementPercent(judged: readonly ZoneMinute[], { largestN }: ShiftOptions): FigureLimit | null {
  const expected = usualExpected(judged)
  if (largestN === null || !(expected > 0)) return null
  const { half, source, target } = agreementLimit(expected, largestN, AGREEMENT_LIMITS.geometry)
  return { target, half: (100 * half) / expected, source }
}

/** Median of what was expected, N; NaN where nothing was. */
export function usualExpected(judged: readonly ZoneMinute[]): number {
  return medianOf(Float64Array.from(judged.flatMap(({ expected }) => (typeof expected === 'number' ? [expected] : []))))
}

function track(spec: DriftSpec, minutes: readonly ZoneMinute[], of: Tells): Tracked {
  const series = minuteSeries(minutes, of)
  const wait = waitsFor(series)
  if (wait !== undefined) return { spec, series, steps: [], estimate: undefined, drift: waitingDrift(spec, wait) }
  const steps = findSteps(series)
  const estimate = estimateDrift(series, segmentsOf(series, steps))
  const drift =
    estimate === undefined
      ? waitingDrift(spec, 'the stretches between the steps are too short to tell a rate')
      : seriesDrift(spec, series, estimate)
  return { spec, series, steps, estimate, drift }
}

function waitsFor({ tMs, y }: MinuteSeries): string | undefined {
  if (y.length < LEAST_MINUTES)
    return `a drift is told from ${LEAST_MINUTES} steady minutes on: ${LEAST_MINUTES - y.length} more`
  const ran = (tMs.at(-1) ?? 0) - (tMs[0] ?? 0)
  if (ran >= LEAST_RAN_MS - MINUTE_MS) return undefined
  return `a drift is told from steady minutes that reach over ${shortDuration(LEAST_RAN_MS / 1000)}`
}
