import type { QualityCode } from '../../../shared/quality.ts'
import type { Side } from '../../../shared/sample.ts'
import type { DiagnosisContext, DiagnosisFeature, FeatureId } from '../../../shared/schemas/diagnosis.ts'
import type { Figure, SideNow, ZoneNow } from '../../../shared/schemas/now.ts'
import type { CorrelationResult, ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import type { SignalSpectrumView, ZoneSpectrum } from '../../../shared/schemas/spectrum.ts'
import { mainsUnseen } from '../../spectrum/hidden-mains.ts'
import { MOST_IMBALANCE } from '../mechanics.ts'

/** What a running zone shows, each part where there is one. A replayed recording gives the same three. */
export interface LiveEvidence {
  readonly now: ZoneNow | null
  readonly shift: ShiftAnalysis | null
  readonly spectrum: ZoneSpectrum | null
}

/**
 * Features of live data: only what they tell honestly. A side without good samples tells that and nothing else; figures
 * that wait, or stand on motion that is not steady, are missing.
 */
export function featuresFromLive(
  { now, shift, spectrum }: LiveEvidence,
  context: DiagnosisContext,
): DiagnosisFeature[] {
  return [
    ...(now === null ? [] : fromNow(now)),
    ...(shift === null ? [] : fromShift(shift, context)),
    ...(spectrum === null ? [] : fromSpectrum(spectrum, now, context)),
  ]
}

const told = (
  source: 'live' | 'shift' | 'spectrum',
  id: FeatureId,
  side: Side | null,
  value: number,
  u = 0,
): DiagnosisFeature => ({ id, side, value, u: Math.abs(u), source, limit: null })

// --- now -----------------------------------------------------------------------------

/** The converter answers, but what it says is no force: nothing can be told but that. */
const DEAD: ReadonlySet<QualityCode> = new Set([
  'no-answer',
  'device-error',
  'stale',
  'wire-break',
  'short-circuit',
  'not-a-number',
])
const OUT_OF_BAND: ReadonlySet<QualityCode> = new Set([
  'saturated',
  'wire-break',
  'short-circuit',
  'under-range',
  'over-range',
])

/** The web pulls where a side shows this many times its expanded uncertainty (common practice). */
const PULLS = 5

function fromNow(now: ZoneNow): DiagnosisFeature[] {
  const sides = Object.entries(now.sides) as [Side, SideNow][]
  const pulls = sides.some(([, { force }]) => force.value !== null && Math.abs(force.value) > PULLS * (force.U ?? 0))
  return [
    ...sides.flatMap(([side, one]) => [
      ...quality(side, one),
      ...of(one.noise, '%', 'noise', side),
      ...(pulls ? sign(side, one) : []),
    ]),
    ...(canJudge(now) ? ofZone(now) : []),
  ]
}

function quality(side: Side, { live: { code } }: SideNow): DiagnosisFeature[] {
  if (code === 'starting' || code === 'missing') return []
  return [
    told('live', 'alive', side, DEAD.has(code) ? 0 : 1),
    told('live', 'in-band', side, OUT_OF_BAND.has(code) ? 0 : 1),
    told('live', 'moves', side, code === 'frozen' ? 0 : 1),
  ]
}

/** Whether a side shows the web's pull the wrong way round, beyond its uncertainty. */
function sign(side: Side, { expected, force }: SideNow): DiagnosisFeature[] {
  if (force.value === null || force.U === null) return []
  const way = expected?.value == null || expected.value >= 0 ? 1 : -1
  return [told('live', 'reads-negative', side, force.value * way + force.U < 0 ? 1 : 0)]
}

const canJudge = ({ steady: { state } }: ZoneNow): boolean => state === 'steady' || state === 'assumed'

function ofZone(now: ZoneNow): DiagnosisFeature[] {
  const { imbalance, agreement, expected, comparison, driftOfResidual, driftOfSideDifference } = now
  const share = comparison?.percent ?? null
  return [
    ...of(imbalance, '%', 'imbalance-now', null).filter(({ value }) => Math.abs(value) <= MOST_IMBALANCE),
    ...(share === null || agreement?.u == null || !expected?.value
      ? []
      : [told('live', 'agreement-now', null, share, (100 * agreement.u) / expected.value)]),
    ...of(driftOfResidual, '%/h', 'drift-residual', null),
    ...of(driftOfSideDifference, 'points/h', 'drift-side-difference', null),
  ]
}

/** A figure that is told, in the unit it must have. */
function of(figure: Figure | undefined, unit: Figure['unit'], id: FeatureId, side: Side | null): DiagnosisFeature[] {
  if (figure === undefined || figure.value === null || figure.u === null || figure.unit !== unit) return []
  return [told('live', id, side, figure.value, figure.u)]
}

// --- a shift -------------------------------------------------------------------------

const SIDE_OF_ZERO: Readonly<Record<string, Side>> = {
  zero_drive_side: 'drive_side',
  zero_operator_side: 'operator_side',
  zero_single: 'single',
}

function fromShift(shift: ShiftAnalysis, context: DiagnosisContext): DiagnosisFeature[] {
  return [
    ...shift.drifts.flatMap(({ quantity, rate }) => {
      if (rate.value === null || rate.u === null) return []
      const side = SIDE_OF_ZERO[quantity]
      if (side !== undefined) return rate.unit === '%/h' ? [told('shift', 'zero-drift', side, rate.value, rate.u)] : []
      return [told('shift', DRIFTS[quantity] ?? 'drift-residual', null, rate.value, rate.u)]
    }),
    ...(shift.minutes.judged > 0 ? [told('shift', 'steps', null, levelSteps(shift))] : []),
    ...zeroSteps(shift, context),
    ...shift.correlations.flatMap(withTemperature),
    ...changes(shift),
  ]
}

const DRIFTS: Readonly<Record<string, FeatureId>> = {
  agreement: 'drift-residual',
  side_difference: 'drift-side-difference',
  span: 'span-drift',
}

/** Steps that no new config explains; the same step seen in two quantities counts once. */
const levelSteps = ({ steps }: ShiftAnalysis): number =>
  new Set(steps.filter(({ revision }) => revision === null).map(({ timeMs }) => Math.round(timeMs / 300_000))).size

function zeroSteps({ steps, zero }: ShiftAnalysis, { spanN }: DiagnosisContext): DiagnosisFeature[] {
  return zero.sides.flatMap(({ side, spanN: told_, points }) => {
    const span = told_ ?? spanN
    const [first, last] = [points[0], points.at(-1)]
    if (span === null || first === undefined || last === undefined || first === last) return []
    const largest = steps
      .filter(({ quantity, revision }) => SIDE_OF_ZERO[quantity] === side && revision === null)
      .sort((a, b) => Math.abs(b.size) - Math.abs(a.size))[0]
    const [size, U] =
      largest === undefined
        ? [last.value - first.value, Math.hypot(first.U ?? 0, last.U ?? 0)]
        : [largest.size, largest.U]
    return [told('shift', 'zero-step', side, (100 * size) / span, (50 * U) / Math.abs(span))]
  })
}

function withTemperature(correlation: CorrelationResult): DiagnosisFeature[] {
  const { quantity, slope, rDetrended: r, effectiveN } = correlation
  if (correlation.with !== 'temperature' || effectiveN <= 3) return []
  // u of a least-squares slope out of the correlation and the effective number of values
  const u = (Math.abs(slope) * Math.sqrt(Math.max(0, 1 - r * r) / (effectiveN - 2))) / Math.max(1e-3, Math.abs(r))
  if (quantity === 'agreement') return [told('shift', 'temperature-effect', null, slope, u)]
  return quantity === 'side_difference' ? [told('shift', 'temperature-difference', null, slope, u)] : []
}

function changes({ baseline }: ShiftAnalysis): DiagnosisFeature[] {
  return (baseline?.changes ?? []).flatMap(({ what, before, difference }) => {
    if ((what !== 'total' && what !== 'reference') || difference === null || !before?.value) return []
    const perCent = 100 / Math.abs(before.value)
    const id = what === 'total' ? 'tension-change' : 'reference-change'
    return [told('shift', id, null, difference.value * perCent, (difference.U * perCent) / 2)]
  })
}

// --- a spectrum ----------------------------------------------------------------------

/** A line counts for a source when that is its nearest candidate. */
const NEAR_ORDER = 0.03

function fromSpectrum(
  { signals, speed }: ZoneSpectrum,
  now: ZoneNow | null,
  context: DiagnosisContext,
): DiagnosisFeature[] {
  const sides = context.sides.flatMap((side) => {
    const signal = signals[side]
    return signal === undefined || signal.state !== 'told' ? [] : linesOf(signal, side, meanForce(now, side), context)
  })
  return [...sides, ...turnRatio(now, speed.turnHz, speed.state)]
}

function meanForce(now: ZoneNow | null, side: Side): number | null {
  const force = (now?.sides as Partial<Record<Side, SideNow>> | undefined)?.[side]?.force.value
  return force === undefined || force === null || force === 0 ? null : Math.abs(force)
}

function linesOf(
  { lines, rateHz, binHz }: Extract<SignalSpectrumView, { state: 'told' }>,
  side: Side,
  force: number | null,
  { spanN }: DiagnosisContext,
): DiagnosisFeature[] {
  const largest = (is: (line: (typeof lines)[number]) => boolean) =>
    lines
      .filter((line) => line.amplitude !== null && is(line))
      .sort((a, b) => (b.amplitude ?? 0) - (a.amplitude ?? 0))[0]
  const isMains = (line: (typeof lines)[number]) => line.candidates[0]?.kind === 'mains'
  const isOwn = (line: (typeof lines)[number]) =>
    !isMains(line) && line.order !== null && Math.abs(line.order - 1) < NEAR_ORDER
  const isNeighbour = (line: (typeof lines)[number]) =>
    !isOwn(line) && line.candidates[0]?.kind === 'turn' && line.candidates[0].order === 1
  const share = (id: FeatureId, line: (typeof lines)[number] | undefined, per: number | null) =>
    per === null || per === 0
      ? []
      : [told('spectrum', id, side, (100 * (line?.amplitude ?? 0)) / per, (50 * (line?.U ?? 0)) / per)]
  return [
    ...share('once-per-turn', largest(isOwn), force),
    ...share('neighbour-line', largest(isNeighbour), force),
    // No line where none could show is not a line of 0.
    ...(largest(isMains) === undefined && mainsUnseen(rateHz, binHz) !== null
      ? []
      : share('mains-running', largest(isMains), spanN === null ? null : Math.abs(spanN))),
  ]
}

/** The roller's own turn, where a channel tells it, over v/(πD). */
function turnRatio(now: ZoneNow | null, turnHz: number | null, state: string): DiagnosisFeature[] {
  const measured = now?.aux.roller_speed
  if (measured?.value == null || measured.code !== 'good' || turnHz === null || turnHz === 0 || state !== 'steady')
    return []
  return [
    told('spectrum', 'turn-ratio', null, measured.value / turnHz, (measured.U ?? 0.01 * measured.value) / 2 / turnHz),
  ]
}
