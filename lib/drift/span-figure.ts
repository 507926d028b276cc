import type { Drift } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import type { Stretch } from './compare.ts'
import { type DriftEstimate, estimateDrift } from './drift-estimate.ts'
import { type DriftSpec, rateDrift, waitingDrift } from './drift-figure.ts'
import { DRIFT_FORMULAS } from './formulas.ts'
import { MINUTE_MS, minuteSeries, minutesBehind } from './minute-series.ts'
import type { ShiftOptions } from './shift-options.ts'
import { LEAST_TENSION_SPREAD, type SpanDrift, spanDriftByTensions, spanDriftByZero } from './span-drift.ts'
import { type Tracked, usualExpected } from './tracked.ts'
import { zeroWaitsFor } from './zero-drifts.ts'

/** The drift of the ratio alone, or what it waits for. */
export function spanDrift({ judged, zeros }: Stretch, tracked: readonly Tracked[], options: ShiftOptions): Drift {
  const agreement = tracked.find(({ spec }) => spec.quantity === 'agreement')
  const spec: DriftSpec = {
    quantity: 'span',
    unit: '%',
    rateUnit: '%/h',
    scale: 1,
    formula: DRIFT_FORMULAS.spanOfTensions,
    rateLimit: options.rateLimit,
    limit: null,
  }
  if (agreement?.estimate === undefined) return waitingDrift(spec, 'the drift of the agreement must be told first')
  const told = spanDriftByTensions(judged) ?? spanByZero(agreement.estimate, judged, zeros)
  if (told === undefined)
    return waitingDrift(
      spec,
      `a ratio is told from an offset by two tensions at least ${100 * LEAST_TENSION_SPREAD} % apart at different times, or by a zero that is tracked: until then zero and span drift as one, in the agreement`,
    )
  const { tMs } = agreement.series
  return rateDrift(
    { ...spec, formula: told.by === 'tensions' ? DRIFT_FORMULAS.spanOfTensions : DRIFT_FORMULAS.spanOfZero },
    {
      ...told,
      fromMs: (tMs[0] ?? 0) - MINUTE_MS / 2,
      toMs: (tMs.at(-1) ?? 0) + MINUTE_MS / 2,
      minutes: minutesBehind(agreement.series),
      effectiveN: null,
      inputs: [],
    },
  )
}

function spanByZero(
  agreement: DriftEstimate,
  judged: readonly ZoneMinute[],
  zeros: readonly ZoneMinute[],
): SpanDrift | undefined {
  if (zeroWaitsFor(zeros) !== undefined) return undefined
  const zero = estimateDrift(minuteSeries(zeros, ({ total }) => total))
  const expected = usualExpected(judged)
  return zero === undefined || !(expected > 0) ? undefined : spanDriftByZero(agreement, zero, expected)
}
