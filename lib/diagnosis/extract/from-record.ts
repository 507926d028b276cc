import type { Side } from '../../../shared/sample.ts'
import type { DiagnosisContext, DiagnosisFeature, FeatureId } from '../../../shared/schemas/diagnosis.ts'
import type { Capture, CapturedSide } from '../../../shared/schemas/verification/capture.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import type { TestId } from '../../../shared/schemas/verification/test-ids.ts'
import type { RecordEntry, VerificationRecord } from '../../../shared/schemas/verification.ts'
import { FEATURES } from '../features.ts'
import { MOST_IMBALANCE, usualForce } from '../mechanics.ts'

type Result = Extract<RecordEntry, { kind: 'result' }>

/** What a test's result tells, without where it comes from. */
type Told = Pick<DiagnosisFeature, 'id' | 'side' | 'value' | 'u'> & { readonly limit?: string | null }

type Reader = (result: Result, context: DiagnosisContext) => readonly Told[]

/**
 * Features of a verification record: of each test its newest result, whichever phase that is. What was withheld or could
 * not be told is missing; an answer is 1 for yes and 0 for no.
 */
export function featuresFromRecord(
  { entries }: Pick<VerificationRecord, 'entries'>,
  context: DiagnosisContext,
): DiagnosisFeature[] {
  const newest = new Map<TestId, Result>()
  for (const entry of entries) if (entry.kind === 'result') newest.set(entry.test, entry)
  return [...newest.values()].flatMap((result) => featuresFromResult(result, context))
}

/** Features of one result. */
export function featuresFromResult(result: Result, context: DiagnosisContext): DiagnosisFeature[] {
  const told = READERS[result.test]?.(result, context) ?? []
  return told
    .filter(
      ({ value, u, side, id }) =>
        Number.isFinite(value) && Number.isFinite(u) && (side !== null) === FEATURES[id].sided,
    )
    .map(({ id, side, value, u, limit = null }) => ({ id, side, value, u: Math.abs(u), source: result.test, limit }))
}

// --- reading figures -------------------------------------------------------------

const figuresOf = ({ result }: Result, id: string): readonly RecordFigure[] =>
  result.figures.filter((figure) => figure.id === id)

/** A figure as it stands, times `scale`; where it says no uncertainty, the usual one. */
function plain(result: Result, figure: string, id: FeatureId, scale = 1): Told[] {
  return averaged(result, figure).map(({ side, value, u, limit }) => ({
    id,
    side,
    value: value * scale,
    u: (u ?? usualU(id, value)) * Math.abs(scale),
    ...(scale === 1 ? { limit } : {}),
  }))
}

const usualU = (id: FeatureId, value: number): number =>
  FEATURES[id].usualU * (FEATURES[id].scale === 'log' ? Math.abs(value) : 1)

interface Averaged {
  readonly side: Side | null
  readonly value: number
  readonly u: number | null
  readonly limit: string | null
}

/** A figure told at several points: their mean, as well known as a single one (what they share does not average out). */
function averaged(result: Result, figure: string): readonly Averaged[] {
  const sides = new Map<Side | null, RecordFigure[]>()
  for (const one of figuresOf(result, figure))
    if (one.value !== null) sides.set(one.side, [...(sides.get(one.side) ?? []), one])
  return [...sides].map(([side, ones]) => ({
    side,
    value: mean(ones.map(({ value }) => value ?? Number.NaN)),
    u: ones.every(({ u }) => u === null) ? null : mean(ones.map(({ u }) => u ?? 0)),
    limit: ones[0]?.limit?.text ?? null,
  }))
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

function answers(result: Result, figure: string, id: FeatureId): Told[] {
  return figuresOf(result, figure).flatMap(({ side, answer }) =>
    answer === null ? [] : [{ id, side, value: answer === 'yes' ? 1 : 0, u: 0 }],
  )
}

/** Newtons as a share of span, %; nothing where the span is not known. */
function ofSpan(result: Result, figure: string, id: FeatureId, { spanN }: DiagnosisContext): Told[] {
  return spanN === null || spanN === 0 ? [] : plain(result, figure, id, 100 / Math.abs(spanN))
}

/** Mean over the sides of a figure that each has: known no better than one of them. Nothing unless all sides tell. */
function common(
  result: Result,
  figure: string,
  id: FeatureId,
  { sides }: DiagnosisContext,
  as = (value: number) => value,
): Told[] {
  const each = averaged(result, figure).filter(({ side }) => side !== null)
  if (each.length < sides.length) return []
  const u = mean(each.map((one) => one.u ?? usualU(id, one.value)))
  return [{ id, side: null, value: mean(each.map(({ value }) => as(value))), u }]
}

// --- running -----------------------------------------------------------------------

const points: Reader = (result, context) => [
  ...common(result, 'slope-error', 'slope-common', context),
  ...plain(result, 'slope-imbalance', 'slope-difference', 0.5),
  ...common(result, 'agreement', 'agreement-now', context),
  ...plain(result, 'imbalance', 'imbalance-now').filter(({ value }) => Math.abs(value) <= MOST_IMBALANCE),
  ...ofSpan(result, 'offset', 'offset', context),
  ...figuresOf(result, 'speed-effect').flatMap(({ value, u, unit }) =>
    value === null || unit !== '% of m v²' ? [] : [{ id: 'speed-effect' as const, side: null, value, u: u ?? 0 }],
  ),
  ...plain(result, 'noise', 'noise'),
  ...averaged(result, 'agreement').map(
    ({ side, value, u }): Told => ({ id: 'reads-negative', side, value: value + 2 * (u ?? 0) < -100 ? 1 : 0, u: 0 }),
  ),
  ...context.sides.flatMap((side) => ofCaptures(result.captures, side, 'distinct-values')),
]

/** What the samples of a side themselves tell, over all captures of a result. */
function ofCaptures(captures: readonly Capture[], side: Side, distinct: 'distinct-values' | 'static-distinct'): Told[] {
  const ones = captures.flatMap(({ sides }) => sides[side] ?? [])
  const samples = ones.reduce((sum, one) => sum + one.samples, 0)
  const good = ones.filter((one) => one.good > 0)
  if (samples === 0) return []
  const count = (of: 'good' | 'spikes' | 'badStretches'): number => ones.reduce((sum, one) => sum + one[of], 0)
  const spikes = count('spikes')
  const told = (id: FeatureId, value: number, u = 0): Told => ({ id, side, value, u })
  const isAlive = count('good') / samples >= 0.5
  const alive = told('alive', isAlive ? 1 : 0)
  if (good.length === 0) return [alive]
  const atEnd = Math.max(mean(good.map((one) => one.atEnd)), flatShare(ones))
  const most = Math.max(...good.map((one) => one.distinct))
  return [
    alive,
    told('spikes', (1000 * spikes) / samples, (1000 * Math.sqrt(spikes)) / samples),
    told('bad-stretches', count('badStretches'), Math.sqrt(count('badStretches'))),
    // What was mostly no good sample says nothing of where its range ends, unless it says that it is there.
    ...(isAlive || atEnd > 0 ? [told('saturated-share', 100 * atEnd)] : []),
    told(distinct, most),
    // A sound coarse signal may stand on one step while the machine stands: only a running one must move.
    ...(distinct === 'distinct-values' ? [told('moves', most > 1 ? 1 : 0)] : []),
  ]
}

/**
 * Share of samples in captures that stood at one value, the largest there was, while others moved: the end of a range
 * that nobody told. 0 where nothing of the kind is seen; a value that stood still in all of them is stuck, not flat.
 */
function flatShare(ones: readonly CapturedSide[]): number {
  const largest = Math.max(...ones.filter(({ distinct }) => distinct > 1).map(({ max }) => max ?? Number.NaN))
  const still = ones.filter(({ distinct }) => distinct <= 1)
  const tops = still.flatMap(({ max }) => (max === null ? [] : [max]))
  if (!Number.isFinite(largest) || tops.length === 0 || tops.some((top) => top < largest)) return 0
  const count = (of: readonly CapturedSide[]) => of.reduce((sum, { samples }) => sum + samples, 0)
  return count(still) / count(ones)
}

const lines: Reader = (result, context) => [
  ...largest(result, 'once-per-turn-share', 'once-per-turn'),
  ...ofSpan(result, 'mains-amplitude', 'mains-running', context),
  ...plain(result, 'speed-exponent', 'speed-exponent'),
  ...slowest(result, 'turn-rate-ratio', 'turn-ratio'),
  ...(context.spanN === null
    ? []
    : largest(result, 'neighbour-amplitude', 'neighbour-line').map((one) => {
        const perNewton = 10_000 / (Math.abs(context.spanN ?? 1) * usualForce(context))
        return { ...one, value: one.value * perNewton, u: one.u * perNewton }
      })),
]

/** Of several points the one where it is largest. */
function largest(result: Result, figure: string, id: FeatureId): Told[] {
  const best = new Map<Side | null, RecordFigure>()
  for (const one of figuresOf(result, figure))
    if (one.value !== null && one.value > (best.get(one.side)?.value ?? Number.NEGATIVE_INFINITY))
      best.set(one.side, one)
  return [...best.values()].map(({ side, value, u, limit }) => ({
    id,
    side,
    value: value ?? Number.NaN,
    u: u ?? 0,
    limit: limit?.text ?? null,
  }))
}

/** A web that slides does it at one speed and not at another: the point where the roller stays behind most. */
const slowest = (result: Result, figure: string, id: FeatureId): Told[] =>
  figuresOf(result, figure)
    .flatMap(({ side, value, u, limit }) =>
      value === null ? [] : [{ id, side, value, u: u ?? usualU(id, value), limit: limit?.text ?? null }],
    )
    .toSorted((a, b) => a.value - b.value)
    .slice(0, 1)

const step: Reader = (result) => [
  ...answers(result, 'together', 'step-opposed').map((one) => ({ ...one, value: 1 - one.value })),
  ...answers(result, 'opposite', 'step-opposed'),
  // A signal that breaks while it is timed is not late: its spike is taken for the step.
  ...(isBroken(result.captures)
    ? []
    : [
        ...plain(result, 'delay', 'step-delay'),
        ...plain(result, 'rise-ratio', 'rise-ratio'),
        ...plain(result, 'rise', 'rise'),
      ]),
]

const isBroken = (captures: readonly Capture[]): boolean =>
  captures.some(({ sides }) => Object.values(sides).some(({ spikes, badStretches }) => spikes + badStretches > 0))

/** The hold names a zero's side in the figure's id. */
const zeroDrift = (result: Result, figure: string, side: Side | undefined): Told[] =>
  side === undefined
    ? []
    : plain(result, figure, 'zero-drift')
        .filter(() => figuresOf(result, figure).every(({ unit }) => unit === '%/h'))
        .map((one) => ({ ...one, side }))

const hold: Reader = (result, { sides }) => [
  ...zeroDrift(result, 'drift-zero', sides[0]),
  ...zeroDrift(result, 'drift-zero-operator', sides[1]),
  ...plain(result, 'drift-residual', 'drift-residual'),
  ...plain(result, 'drift-imbalance', 'drift-side-difference'),
  ...plain(result, 'drift-span', 'span-drift'),
  ...plain(result, 'steps', 'steps'),
  ...plain(result, 'residual-with-temperature', 'temperature-effect'),
]

// --- stopped -----------------------------------------------------------------------

const channels: Reader = (result, context) => [
  ...answers(result, 'in-band', 'in-band'),
  ...plain(result, 'static-noise', 'static-noise'),
  ...plain(result, 'static-slope', 'static-slope', 60),
  ...ofSpan(result, 'mains-amplitude', 'static-mains', context),
  ...(result.captures.length > 0
    ? context.sides.flatMap((side) => ofCaptures(result.captures, side, 'static-distinct'))
    : [...answers(result, 'alive', 'alive'), ...plain(result, 'distinct-values', 'static-distinct')]),
]

const gravity: Reader = (result, context) => [
  ...plain(result, 'zero-balance', 'zero-balance'),
  ...(context.spanN === null || !context.weightN
    ? []
    : plain(result, 'weight-component', 'gravity-error', Math.abs(context.spanN / context.weightN))),
]

const push: Reader = (result) => [
  ...answers(result, 'push-mapped', 'push-mapped'),
  ...averaged(result, 'push-sign').map(
    ({ side, value }): Told => ({ id: 'push-falls', side, value: value < 0 ? 1 : 0, u: 0 }),
  ),
]

/** The gain found is newtons per reading: a side that reads r times what it should shows 1/r − 1. */
const readsOff = (gainError: number): number => 100 * (1 / (1 + gainError / 100) - 1)

const series: Reader = (result, context) => [
  ...common(result, 'gain-error', 'weight-common', context, readsOff),
  ...plain(result, 'weight-imbalance', 'weight-difference').filter(({ value }) => Math.abs(value) <= MOST_IMBALANCE),
  ...plain(result, 'nonlinearity', 'nonlinearity'),
  ...plain(result, 'hysteresis', 'hysteresis'),
  ...plain(result, 'repeatability', 'repeatability'),
  ...plain(result, 'zero-return', 'weight-zero-return'),
]

const swap: Reader = (result, { sides }) =>
  averaged(result, 'follows').flatMap(({ side, value }) =>
    (side === null ? sides : [side]).flatMap((at): Told[] => [
      { id: 'follows-channel', side: at, value: value === 2 ? 1 : 0, u: 0 },
      { id: 'follows-cell', side: at, value: value === 1 ? 1 : 0, u: 0 },
    ]),
  )

/** Half a turn off is half a turn off, whichever way it was read. */
const arrows: Reader = (result) =>
  plain(result, 'arrow-error', 'arrow-error').map((one) => (one.value < -90 ? { ...one, value: one.value + 360 } : one))

const figures =
  (...pairs: readonly (readonly [figure: string, id: FeatureId])[]): Reader =>
  (result) =>
    pairs.flatMap(([figure, id]) =>
      FEATURES[id].scale === 'yes-no' ? answers(result, figure, id) : plain(result, figure, id),
    )

const READERS: Readonly<Partial<Record<TestId, Reader>>> = {
  'fit.arrow-angle': arrows,
  'fit.end-clearance': figures(['end-clearance', 'end-clearance'], ['growth-margin', 'growth-margin']),
  'fit.free-play': figures(['free-play', 'free-play']),
  'fit.bushing': figures(['bushing-flush', 'bushing-flush']),
  'fit.clamps': figures(['clamps-crosswise', 'clamps-crosswise']),
  'fit.bolts': figures(['bolts-tight', 'bolts-tight']),
  'fit.nothing-touches': figures(['nothing-touches', 'nothing-touches']),
  'fit.cables': figures(['cables-seated', 'cables-seated']),
  'fit.spin-down': figures(['spins-free', 'spins-free']),
  'fit.runout': figures(['runout', 'runout']),
  'electric.bridge': figures(['output-resistance', 'bridge-error'], ['input-resistance', 'bridge-input-error']),
  'electric.insulation': figures(['insulation', 'insulation']),
  'electric.excitation': figures(['excitation', 'excitation-error']),
  'electric.shunt': figures(['shunt-error', 'shunt-error']),
  'electric.channels': channels,
  'electric.gravity': gravity,
  'electric.push': push,
  'electric.wiggle': figures(['spikes', 'wiggle-spikes'], ['bad-stretches', 'wiggle-bad']),
  'electric.cross-swap': swap,
  'electric.drive-noise': figures(['drive-noise-ratio', 'drive-noise-ratio']),
  'known-weight.series': series,
  'known-weight.off-centre': figures(['difference-slope', 'off-centre-slope'], ['sum-change', 'sum-change']),
  'known-weight.two-directions': figures(['arrow-from-rope', 'arrow-from-rope']),
  'running.path': figures(['path-as-drawn', 'path-as-drawn']),
  'running.points': points,
  'running.lines': lines,
  'running.step': step,
  'running.neighbour': figures(['core-full-change', 'core-full-change']),
  'warm.hold': hold,
  'warm.zero-return': figures(['zero-return', 'zero-return'], ['zero-with-temperature', 'zero-with-temperature']),
}
