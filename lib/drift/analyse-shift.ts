import type { FigureLimit } from '../../shared/schemas/now.ts'
import type {
  AllanResult,
  ControlChart,
  CorrelationResult,
  Drift,
  DriftQuantity,
  ShiftAnalysis,
  Step,
} from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { SIDE_NAMES } from '../statistics/systematic.ts'
import { shortDuration, shortNumber } from '../statistics/words.ts'
import { AGREEMENT_LIMITS, agreementLimit } from '../verdicts/agreement.ts'
import { allanCurve } from './allan-deviation.ts'
import { changesOf, type Stretch, stretchOf } from './compare.ts'
import { chartsOf } from './control-chart.ts'
import { correlate } from './correlate.ts'
import { type DriftEstimate, estimateDrift } from './drift-estimate.ts'
import { type DriftSpec, rateDrift, seriesDrift, waitingDrift } from './drift-figure.ts'
import { DRIFT_FORMULAS } from './formulas.ts'
import { hoursOf, MINUTE_MS, type MinuteSeries, minuteSeries } from './minute-series.ts'
import { periodsOf } from './periods.ts'
import { medianOf } from './select.ts'
import type { ShiftOptions } from './shift-options.ts'
import { LEAST_TENSION_SPREAD, type SpanDrift, spanDriftByTensions, spanDriftByZero } from './span-drift.ts'
import { findSteps, type StepFound, segmentsOf } from './steps.ts'
import { stretchesOf, zeroSeries, zeroTrackOf } from './zero-track.ts'

/** A drift is told from so many steady minutes on, that reach over so much time: a rate an hour out of less is the web's wander (common practice, no source). */
const LEAST_MINUTES = 30
const LEAST_RAN_MS = 30 * MINUTE_MS
/** A zero drifts from so many minutes on, in so many stretches. */
const LEAST_ZERO_MINUTES = 10
const LEAST_ZERO_STRETCHES = 2

/** Minutes of one zone, oldest first, of a stretch of time and of an earlier one to compare with. */
export interface ShiftInput {
  readonly fromMs: number
  readonly toMs: number
  readonly minutes: readonly ZoneMinute[]
  readonly baseline?: {
    readonly fromMs: number
    readonly toMs: number
    readonly minutes: readonly ZoneMinute[]
  }
}

/** What has moved in a shift, and by how much beyond its uncertainty. Where the minutes came from, the gateway adds. */
export type ShiftFindings = Omit<ShiftAnalysis, 'source' | 'sourceSentence'>

/**
 * The whole analysis of one zone over a stretch: what drifts, what stepped, what is in control, how long to average, what
 * goes with what. Steady minutes alone are judged; slack ones tell the zero. Cheap enough to be made anew each time.
 */
export function analyseShift(input: ShiftInput, options: ShiftOptions): ShiftFindings {
  const { fromMs, toMs, minutes } = input
  const stretch = stretchOf(minutes, options)
  const tracked = trackedOf(stretch, options)
  return {
    zone: options.zone,
    fromMs,
    toMs,
    minutes: {
      asked: Math.max(0, Math.floor(toMs / MINUTE_MS) - Math.ceil(fromMs / MINUTE_MS)),
      kept: minutes.length,
      judged: stretch.judged.length,
    },
    steadiness: steadinessOf(stretch),
    periods: periodsOf(minutes, fromMs, toMs),
    drifts: [
      ...tracked.map(({ drift }) => drift),
      ...(options.hasGeometry ? [spanDrift(stretch, tracked, options)] : []),
      ...zeroDrifts(stretch, options),
    ],
    steps: tracked.flatMap((one) => stepsOf(one, minutes)),
    charts: tracked.flatMap(chartsOfTracked),
    allan: tracked.map(allanOf),
    correlations: tracked.flatMap(({ spec }) => correlationsOf(spec, stretch)),
    zero: zeroTrackOf(stretch.zeros, options),
    baseline: baselineOf(input, stretch, options),
  }
}

function steadinessOf({ judged }: Stretch): ShiftAnalysis['steadiness'] {
  if (judged.length === 0) return 'none'
  return judged.some(({ state }) => state === 'assumed') ? 'assumed' : 'steady'
}

type Tells = (minute: ZoneMinute) => number | null | undefined

/** A quantity of steady minutes, followed through the stretch. */
interface Tracked {
  readonly spec: DriftSpec
  readonly series: MinuteSeries
  readonly steps: readonly StepFound[]
  /** Undefined with too few minutes. */
  readonly estimate: DriftEstimate | undefined
  readonly drift: Drift
}

function trackedOf({ judged }: Stretch, options: ShiftOptions): Tracked[] {
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

function usualExpected(judged: readonly ZoneMinute[]): number {
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
      ? waitingDrift(spec, 'a stretch between steps long enough to tell a rate')
      : seriesDrift(spec, series, estimate)
  return { spec, series, steps, estimate, drift }
}

function waitsFor({ tMs, y }: MinuteSeries): string | undefined {
  if (y.length < LEAST_MINUTES)
    return `a drift is told from ${LEAST_MINUTES} steady minutes on: ${LEAST_MINUTES - y.length} more`
  const ran = (tMs.at(-1) ?? 0) - (tMs[0] ?? 0)
  if (ran >= LEAST_RAN_MS - MINUTE_MS) return undefined
  return `steady minutes over ${shortDuration(LEAST_RAN_MS / 1000)}`
}

function spanDrift({ judged, zeros }: Stretch, tracked: readonly Tracked[], options: ShiftOptions): Drift {
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
  if (agreement?.estimate === undefined) return { ...waitingDrift(spec, 'the drift of the agreement') }
  const told = spanDriftByTensions(judged) ?? spanByZero(agreement.estimate, judged, zeros)
  if (told === undefined)
    return waitingDrift(
      spec,
      `two tensions at least ${100 * LEAST_TENSION_SPREAD} % apart at different times, or a zero track: until then zero and span drift as one, in the agreement`,
    )
  const { tMs } = agreement.series
  return rateDrift(
    { ...spec, formula: told.by === 'tensions' ? DRIFT_FORMULAS.spanOfTensions : DRIFT_FORMULAS.spanOfZero },
    {
      ...told,
      fromMs: (tMs[0] ?? 0) - MINUTE_MS / 2,
      toMs: (tMs.at(-1) ?? 0) + MINUTE_MS / 2,
      minutes: agreement.series.y.length,
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

function zeroDrifts({ zeros }: Stretch, { sides, spansN, rateLimit }: ShiftOptions): Drift[] {
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
      ? waitingDrift(spec, `more minutes of the ${SIDE_NAMES[side]} with a slack web`)
      : seriesDrift(spec, series, estimate)
  })
}

/** A zero may use up the part of the agreement limit that is a share of span. */
function zeroLimit(spanN: number): FigureLimit {
  const { ofSpan, source } = AGREEMENT_LIMITS.geometry
  return { target: 0, half: ofSpan * spanN, source: `${100 * ofSpan} % of span, as in the agreement limit; ${source}` }
}

function zeroWaitsFor(zeros: readonly ZoneMinute[]): string | undefined {
  const ran = (zeros.at(-1)?.tMs ?? 0) - (zeros[0]?.tMs ?? 0)
  const isEnough =
    zeros.length >= LEAST_ZERO_MINUTES && stretchesOf(zeros).length >= LEAST_ZERO_STRETCHES && ran >= LEAST_RAN_MS
  if (isEnough) return undefined
  return `${LEAST_ZERO_MINUTES} minutes with the web slack or off, in ${LEAST_ZERO_STRETCHES} stretches that reach over ${shortDuration(LEAST_RAN_MS / 1000)}: ${zeros.length} so far`
}

function stepsOf({ spec, series, steps }: Tracked, minutes: readonly ZoneMinute[]): Step[] {
  const { quantity, unit } = spec
  return steps.map(({ index, size, U }) => {
    const timeMs = (series.tMs[index] ?? 0) - series.widthMs / 2
    const revision = revisionAt(minutes, timeMs, series.widthMs)
    const what = `Stepped by ${size > 0 ? '+' : ''}${shortNumber(size)} ${unit} ± ${shortNumber(U)} ${unit} within a few minutes`
    const because = revision === null ? '' : `, when revision ${revision} of the config came into force`
    return { quantity, timeMs, size, U, unit, revision, sentence: `${what}${because}.` }
  })
}

/** A step is placed to a few minutes only. */
const NEAR_POINTS = 3

function revisionAt(minutes: readonly ZoneMinute[], timeMs: number, widthMs: number): string | null {
  const near = minutes.filter(({ tMs }) => Math.abs(tMs - timeMs) <= NEAR_POINTS * widthMs)
  const [first] = near
  return near.find(({ revision }) => revision !== first?.revision)?.revision ?? null
}

function chartsOfTracked({ spec, series, estimate }: Tracked): ControlChart[] {
  if (estimate === undefined) return []
  return chartsOf({ quantity: spec.quantity, unit: spec.unit, series, longRun: estimate.longRun })
}

function allanOf({ spec, series }: Tracked): AllanResult {
  const points = allanCurve(series).map(({ m, deviation, n }) => ({
    seconds: (m * series.widthMs) / 1000,
    deviation,
    n,
  }))
  const least = points.reduce<(typeof points)[number] | undefined>(
    (best, point) => (best === undefined || point.deviation < best.deviation ? point : best),
    undefined,
  )
  const told = { quantity: spec.quantity, unit: spec.unit, points }
  if (least === undefined)
    return { ...told, suggestedSeconds: null, sentence: 'Waits for more steady minutes in a row.' }
  if (least === points.at(-1))
    return {
      ...told,
      suggestedSeconds: null,
      sentence: `Averaging helps as far as this stretch can tell: up to ${shortDuration(least.seconds)} and beyond.`,
    }
  return {
    ...told,
    suggestedSeconds: least.seconds,
    sentence: `Averaging helps up to about ${shortDuration(least.seconds)}: from there on the drift outweighs what noise is left.`,
  }
}

function correlationsOf({ quantity, unit }: DriftSpec, { judged }: Stretch): CorrelationResult[] {
  return (['temperature', 'speed'] as const).flatMap((other) => {
    const both = judged.filter((minute) => typeof readingOf(quantity, minute) === 'number' && minute[other] !== null)
    const series = minuteSeries(both, (minute) => readingOf(quantity, minute))
    const beside = minuteSeries(both, (minute) => minute[other])
    const told = correlate(quantity, unit, other, { hours: hoursOf(series), y: series.y, x: beside.y })
    return told === undefined ? [] : [told]
  })
}

const readingOf = (quantity: DriftQuantity, { residual, imbalance }: ZoneMinute): number | null | undefined =>
  quantity === 'agreement' ? residual : imbalance

function baselineOf({ baseline }: ShiftInput, after: Stretch, options: ShiftOptions): ShiftAnalysis['baseline'] {
  if (baseline === undefined) return null
  const { fromMs, toMs, minutes } = baseline
  const before = stretchOf(minutes, options)
  return {
    fromMs,
    toMs,
    minutes: minutes.length,
    judged: before.judged.length,
    changes: changesOf(before, after, options),
  }
}
