import type { EpochMs, MonotonicMs } from '../../shared/brand.ts'
import type { Side } from '../../shared/sample.ts'
import type { ChannelConfig, Limit, ZoneConfig } from '../../shared/schemas/config.ts'
import type { Comparison, Figure, FigureInput, SideNow, ZoneNow } from '../../shared/schemas/now.ts'
import { fromSi } from '../../shared/units.ts'
import { entriesOf, mapSides, ofSide, type Sided } from '../geometry/sided.ts'
import { degrees } from '../geometry/vector.ts'
import { sourceWords } from '../scale/default-uncertainty.ts'
import type { ResidualSnapshot } from '../statistics/residual-track.ts'
import type { Outcome, Quantity } from '../statistics/zone-snapshot.ts'
import type { BudgetRow, Propagated } from '../uncertainty/propagate.ts'
import type { ExpectedPicture } from '../zone/expectation.ts'
import { type Agreement, agreementOf, expectedMeasure } from './agreement.ts'
import { AGREEMENT_FORMULA, AGREEMENT_LIMITS } from './agreement-rule.ts'
import { assumedPart, figureOf, inputOf } from './figure.ts'
import { type FigureFormula, FORMULAS } from './formulas.ts'
import type { Averaging } from './judge.ts'
import { verdictOf } from './sentence.ts'

type ToEpoch = (t: MonotonicMs) => EpochMs
type Window = Omit<Averaging, 'seconds'>

export interface ExpectedNowInput {
  readonly zone: ZoneConfig
  readonly residual: ResidualSnapshot
  /** Undefined while nothing can be expected. */
  readonly picture: ExpectedPicture | undefined
  readonly average: Window
  readonly drift: Window
  readonly channelOf: (id: string) => ChannelConfig
  readonly toEpoch: ToEpoch
}

/** What a zone's picture says of expected against measured. */
export interface ExpectedNow {
  readonly zone: Pick<ZoneNow, 'expected' | 'agreement' | 'comparison' | 'driftOfResidual'>
  readonly sides: Readonly<Partial<Record<Side, Pick<SideNow, 'expected' | 'expectedSignal' | 'agreement'>>>>
}

/** Measured against expected, side by side and for the whole web, every figure with its verdict. */
export function expectedNow(input: ExpectedNowInput): ExpectedNow {
  const { zone, residual, picture, average, drift, toEpoch } = input
  const { drift_percent_per_hour: driftLimit } = zone.limits
  const driftOfResidual = figureOf(
    residual.drift,
    { unit: '%/h', why: FORMULAS.driftOfResidual, judged: { limit: about0(driftLimit), averaging: drift } },
    toEpoch,
  )
  const total = compare(residual.total, picture?.total, picture?.totalSpan, average)
  const sides = residual.sides.map(([side, outcome]) => {
    const expected = picture === undefined ? undefined : ofSide(picture.sides, side)
    return { side, outcome, expected, held: compare(outcome, expected?.force, expected?.span, average) }
  })
  return {
    zone: {
      expected: expectedFigure(picture?.total, residual.total, FORMULAS.expectedTotal, toEpoch),
      agreement: agreementFigure(total, residual.total, picture?.total, toEpoch),
      driftOfResidual,
      ...(picture === undefined ? {} : { comparison: comparisonOf(picture, total, sides) }),
    },
    sides: Object.fromEntries(
      sides.map(({ side, outcome, expected, held }) => [
        side,
        {
          expected: expectedFigure(expected?.force, outcome, FORMULAS.expectedForce, toEpoch),
          agreement: agreementFigure(held, outcome, expected?.force, toEpoch),
          ...expectedSignal(input, side, expected?.force),
        },
      ]),
    ),
  }
}

const about0 = ({ value, source }: Limit) => ({ target: 0, half: value, source })

/** The measured mean is the expected one with the mean residual added, so that their difference is that residual. */
function compare(
  outcome: Outcome,
  expected: Propagated | undefined,
  span: number | undefined,
  average: Window,
): Agreement | undefined {
  if (outcome.kind !== 'told' || expected === undefined || span === undefined) return undefined
  const { value, uRandom, dof, systematic, window } = outcome.quantity
  return agreementOf(
    { value: expected.value + value, uRandom, dof, systematic },
    expectedMeasure(expected),
    span,
    AGREEMENT_LIMITS.geometry,
    [],
    { ...average, seconds: window.seconds },
  )
}

function agreementFigure(
  agreement: Agreement | undefined,
  outcome: Outcome,
  expected: Propagated | undefined,
  toEpoch: ToEpoch,
): Figure {
  if (agreement === undefined || outcome.kind !== 'told' || expected === undefined)
    return untold(outcome, AGREEMENT_FORMULA, toEpoch)
  const { quantity } = outcome
  const { u, U, k, dof, state, reason } = agreement.judgement
  return {
    value: agreement.difference,
    unit: 'N',
    u,
    uRandom: quantity.uRandom,
    U,
    k,
    dof,
    ...assumedOf(expected.budget, quantity, u),
    limit: agreement.limit,
    verdict: verdictOf(state, reason),
    window: quantity.window,
    timeMs: toEpoch(quantity.newestMs),
    waiting: null,
    why: {
      ...AGREEMENT_FORMULA,
      inputs: [
        { name: 'expected', value: expected.value, unit: 'N', u: expected.u },
        ...budgetLines(expected.budget, quantity),
      ],
    },
  }
}

/** A figure that is not told because the residual is not; `waiting` says why. */
function untold(outcome: Outcome, why: FigureFormula, toEpoch: ToEpoch): Figure {
  const shown: Outcome = outcome.kind === 'told' ? { kind: 'no-data', why: 'nothing can be expected now' } : outcome
  return figureOf(shown, { unit: 'N', why, judged: null }, toEpoch)
}

function expectedFigure(
  expected: Propagated | undefined,
  outcome: Outcome,
  why: FigureFormula,
  toEpoch: ToEpoch,
): Figure {
  if (expected === undefined) return untold(outcome, why, toEpoch)
  const { u, U, k, dof } = expected
  return {
    value: expected.value,
    unit: 'N',
    u,
    uRandom: 0,
    U,
    k,
    dof,
    ...assumedOf(expected.budget, undefined, u),
    limit: null,
    verdict: verdictOf('not-done', { kind: 'no-limit' }),
    window: outcome.kind === 'told' ? outcome.quantity.window : null,
    timeMs: outcome.kind === 'told' ? toEpoch(outcome.quantity.newestMs) : null,
    waiting: null,
    why: { ...why, inputs: budgetLines(expected.budget, undefined) },
  }
}

/** A line of the budget under this share of the largest is told together with the others like it. */
const SMALL_SHARE = 0.05

/** The budget, largest first; what adds next to nothing in one line. */
function budgetLines(budget: readonly BudgetRow[], quantity: Quantity | undefined): FigureInput[] {
  const lines = [
    ...budget.map((row) => ({ ...readable(row), contribution: Math.abs(row.contribution) })),
    ...(quantity?.systematic ?? []).map((row) => ({ ...inputOf(row), contribution: Math.abs(row.contribution) })),
  ]
    .filter(({ contribution }) => contribution > 0)
    .sort((a, b) => b.contribution - a.contribution)
  const least = SMALL_SHARE * (lines[0]?.contribution ?? 0)
  const large = lines.filter(({ contribution }) => contribution >= least)
  const small = lines.filter(({ contribution }) => contribution < least)
  if (small.length === 0) return large
  const contribution = Math.hypot(...small.map((line) => line.contribution))
  const words = `${small.length} smaller ${small.length === 1 ? 'one' : 'ones together'}`
  return [...large, { name: words, value: null, unit: 'N', u: null, contribution }]
}

/** An input in the unit that people measure it in. */
function readable({ name, value, unit, u, source }: BudgetRow): FigureInput {
  const from = sourceWords(source)
  const rest = from === undefined ? {} : { source: from }
  if (unit === 'rad') return { name, value: degrees(value), unit: '°', u: degrees(u), ...rest }
  if (unit === 'kg/m²') return { name, value: value * 1000, unit: 'g/m²', u: u * 1000, ...rest }
  return { name, value, unit, u, ...rest }
}

/** What is marked when the largest of these was assumed. */
const assumedOf = (budget: readonly BudgetRow[], quantity: Quantity | undefined, u: number) =>
  assumedPart(
    [
      ...budget.map(({ contribution, source }) => ({ contribution, source: sourceWords(source) })),
      ...(quantity?.systematic ?? []),
    ],
    u,
  )

/** What the channel should read: its zero plus the expected force over its gain. */
function expectedSignal(
  { zone, channelOf }: ExpectedNowInput,
  side: Side,
  expected: Propagated | undefined,
): Pick<SideNow, 'expectedSignal'> {
  const { force, electrical } = channelOf(ofSide<string>(zone.cells, side))
  if (force === undefined || electrical === undefined || expected === undefined) return {}
  const perN = fromSi('force', 1, force.unit) / force.gain
  return {
    expectedSignal: {
      value: force.zero + expected.value * perN,
      U: Math.abs(expected.U * perN),
      unit: electrical.unit,
    },
  }
}

interface HeldSide {
  readonly side: Side
  readonly expected: { readonly force: Propagated } | undefined
  readonly held: Agreement | undefined
}

function comparisonOf(picture: ExpectedPicture, total: Agreement | undefined, sides: readonly HeldSide[]): Comparison {
  return {
    reference: picture.reference,
    percent: finite(total?.percent),
    en: finite(total?.en),
    ratio: Object.fromEntries(sides.map(({ side, held, expected }) => [side, ratioOf(held, expected)?.ratio ?? null])),
    wrap: picture.wrap,
    momentum: picture.momentum,
    candidates: isOutside(total, sides) ? candidatesOf(picture, sides) : [],
  }
}

const finite = (value: number | undefined): number | null =>
  value !== undefined && Number.isFinite(value) ? value : null

const isOutside = (total: Agreement | undefined, sides: readonly HeldSide[]): boolean =>
  [total, ...sides.map(({ held }) => held)].some((held) => held?.judgement.state === 'outside')

function ratioOf(
  held: Agreement | undefined,
  expected: { readonly force: Propagated } | undefined,
): { readonly ratio: number; readonly u: number } | undefined {
  if (held === undefined || expected === undefined || expected.force.value === 0) return undefined
  const { value } = expected.force
  return { ratio: 1 + held.difference / value, u: Math.abs(held.judgement.u / value) }
}

/** Other paths that fit what every side measured; none unless all are told. */
function candidatesOf(
  { sides: expected, explain }: ExpectedPicture,
  sides: readonly HeldSide[],
): Comparison['candidates'] {
  const ratios = new Map(sides.map(({ side, held, expected }) => [side, ratioOf(held, expected)]))
  const none = { ratio: Number.NaN, u: Number.NaN }
  const measured: Sided<{ ratio: number; u: number }> = mapSides(expected, (_, side) => ratios.get(side) ?? none)
  if (entriesOf(measured).some(([, { ratio }]) => Number.isNaN(ratio))) return []
  return explain(measured)
    .filter(({ explains, changes }) => explains && changes.length > 0)
    .map(({ words, ratio, misfit }) => ({ words, ratio: Object.fromEntries(entriesOf(ratio)), misfit }))
}
