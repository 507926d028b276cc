import type { Side } from '../../../shared/sample.ts'
import type { Capture, RecordFigure } from '../../../shared/schemas/verification.ts'
import { leastSquares } from '../../calibration/householder.ts'
import { fitPolynomial } from '../../calibration/polynomial-fit.ts'
import { trioOf } from '../../geometry/description.ts'
import { pathCandidates } from '../../geometry/path-candidates.ts'
import { mapSides, SIDE_WORDS, type Sided } from '../../geometry/sided.ts'
import { shortNumber } from '../../statistics/words.ts'
import type { Averaging } from '../../verdicts/judge.ts'
import { capturesOf, sideOf } from '../captured.ts'
import { cellScale, spanOfSide, type VerificationContext } from '../context.ts'
import { type ExpectedAt, expectedAt, speedOf, tensionOf, toldFields } from '../expected-at.ts'
import { captureOf } from '../fields.ts'
import { input, measured, type Part, repeats, untold } from '../figure.ts'
import { atMost, listed, type RecordLimit, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Speeds and tensions further apart than this are two (common practice, no source). */
const APART = 0.15
const SECONDS = 20

/** Each of two tensions at each of two speeds. */
const POINTS = 4

interface Point {
  readonly capture: Capture
  readonly name: string
  readonly at: ExpectedAt | string
}

export const runningPoints: VerificationTest = {
  id: 'running.points',
  stage: 'running',
  title: 'Two speeds, two tensions',
  proves: 'On a running web both sides agree with the geometry, and with one another, at every point.',
  effect: 'An offset is a zero, a share is a gain or an arrow, what grows with speed is the web’s own momentum.',
  caution: 'Guards closed, hands away.',
  steps: ['Run steadily at a low and a high tension, each at a low and a high speed; take one capture at each.'],
  plan: (context) => ({
    fields: [],
    captures: [
      captureOf('point', 'Steady running', 'Keep speed and tension constant.', 'steady', SECONDS, {
        times: POINTS,
        fields: toldFields(context),
      }),
    ],
    limits: [
      ...(context.geometry === null
        ? []
        : [listed('Agreement of each side, and of all', agreementLimit(context, 100, 0))]),
      ...(context.sides.length === 2
        ? [listed('Side difference', within(context.limits.side_difference_percent, '%'))]
        : []),
      listed('Noise of each side', atMost(context.limits.noise_percent, '%')),
    ],
    notFor: null,
  }),
  judge(context, evidence) {
    const points = capturesOf(evidence, 'point').map(
      (capture): Point => ({ capture, name: pointName(context, capture), at: expectedAt(context, capture) }),
    )
    if (points.length === 0) return notDone('missing: steady running')
    const lacking = lackingPoints(context, points)
    if (lacking !== null)
      return notDone(
        lacking,
        points.flatMap((point) => atPoint(context, point)),
      )
    const path = pathFound(context, points)
    return resultOf(
      [...points.flatMap((point) => atPoint(context, point)), ...overPoints(context, points), ...path.figures],
      [
        ...path.hints,
        'Same share on both sides at every point: span, path or arrows. One side only: its arrow or gain. A constant offset: zero.',
        'Grows with speed: basis weight and momentum. Side difference that a centred weight did not show: the web runs or pulls off centre.',
      ],
    )
  },
}

function pointName(context: VerificationContext, capture: Capture): string {
  const speed = speedOf(context, capture)
  const at = speed === undefined ? 'speed not told' : `${shortNumber(speed * 60)} m/min`
  const tension = tensionOf(context, capture) ?? capture.total?.value
  return tension === undefined ? at : `${at}, ${shortNumber(tension)} N`
}

/** Two speeds and two tensions are asked for, each with each, wherever anything tells them. */
function lackingPoints(context: VerificationContext, points: readonly Point[]): string | null {
  const spread = (of: (capture: Capture) => number | undefined): boolean | null => {
    const values = points.map(({ capture }) => of(capture)).filter((value) => value !== undefined)
    if (values.length === 0) return null
    return Math.max(...values) - Math.min(...values) >= APART * Math.max(...values.map(Math.abs))
  }
  if (spread((capture) => speedOf(context, capture)) === false) return 'missing: a second speed, at least 15 % away'
  if (spread((capture) => tensionOf(context, capture) ?? capture.total?.value) === false)
    return 'missing: a second tension, at least 15 % away'
  return points.length < POINTS ? `missing: ${POINTS} points, each tension at each speed` : null
}

/** ± max(share of expected, 1 % of span), in % of expected. */
function agreementLimit({ limits }: VerificationContext, expected: number, span: number): RecordLimit {
  const { value, source } = limits.agreement_percent
  const floor = expected === 0 ? 0 : (100 * 0.01 * span) / Math.abs(expected)
  const half = Math.max(value, floor)
  const text =
    floor > value ? `±${shortNumber(half)} % of expected (1 % of span)` : `±${shortNumber(half)} % of expected`
  return { low: -half, high: half, text, source: `the larger of ${value} % of expected and 1 % of span; ${source}` }
}

function atPoint(context: VerificationContext, { capture, name, at }: Point): RecordFigure[] {
  return [
    ...context.sides.flatMap((side) => sideAt(context, capture, name, at, side)),
    ...totalAt(context, capture, name, at),
    ...pairAt(context, capture, name),
  ]
}

function sideAt(
  context: VerificationContext,
  capture: Capture,
  point: string,
  at: ExpectedAt | string,
  side: Side,
): RecordFigure[] {
  const of = sideOf(capture, side)
  const force = of?.force ?? null
  const noiseName = { id: 'noise', title: 'Noise', side, point }
  const noiseLimit = atMost(context.limits.noise_percent, '%')
  if (of === undefined || force === null || of.noise === null)
    return [untold(noiseName, '%', 'no good samples of this side', noiseLimit)]
  const noise = measured({
    ...noiseName,
    value: (100 * of.noise) / Math.abs(force.value),
    unit: '%',
    uRandom: (100 * of.noise) / Math.abs(force.value) / Math.sqrt(2 * Math.max(1, of.good - 1)),
    limit: noiseLimit,
    formula: '1 σ after slow motion is removed / mean force',
    source: 'u of a standard deviation, σ/√(2(n − 1)) (JCGM 100, E.4.3)',
  })
  if (context.geometry === null) return [noise]
  const agreementName = { id: 'agreement', title: 'Measured less expected', side, point }
  if (typeof at === 'string') return [noise, untold(agreementName, '%', at, agreementLimit(context, 100, 0))]
  const expected = at.side(side)
  const toPercent = 100 / Math.abs(expected.value)
  return [
    measured({
      ...agreementName,
      value: (force.value - expected.value) * toPercent,
      unit: '%',
      uRandom: force.u * toPercent,
      parts: [
        ...cellParts(context, side, force.value, toPercent),
        { name: 'what is expected', contribution: expected.u * toPercent },
      ],
      limit: agreementLimit(context, expected.value, spanOfSide(context, side)),
      averaging: averagingOf(capture),
      formula: '(F measured − F expected) / F expected along the arrow',
      source: 'momentum balance of the wrapped web; JCGM 100, 5.1.2',
      inputs: [input('measured', force.value, 'N', force.u), input('expected', expected.value, 'N', expected.u)],
    }),
    noise,
  ]
}

const averagingOf = ({ fromMs, toMs }: Capture): Averaging => ({
  seconds: (toMs - fromMs) / 1000,
  longestSeconds: 3600,
  power: 1,
  setting: 'the capture',
  mostSettableSeconds: 3600,
})

/** Of all sides together: where the web runs across the roller does not matter to it. */
function totalAt(
  context: VerificationContext,
  capture: Capture,
  point: string,
  at: ExpectedAt | string,
): RecordFigure[] {
  if (context.geometry === null || context.sides.length < 2) return []
  const name = { id: 'agreement-total', title: 'Measured less expected, both sides together', point }
  if (typeof at === 'string') return [untold(name, '%', at, agreementLimit(context, 100, 0))]
  const forces = context.sides.map((side) => ({ side, force: sideOf(capture, side)?.force ?? null }))
  const good = forces.flatMap(({ side, force }) => (force === null ? [] : [{ side, force }]))
  if (good.length < forces.length)
    return [untold(name, '%', 'a side gives no good samples', agreementLimit(context, 100, 0))]
  const { value: expected, u } = at.total
  const sum = good.reduce((all, { force }) => all + force.value, 0)
  const toPercent = 100 / Math.abs(expected)
  const span = context.sides.reduce((all, side) => all + spanOfSide(context, side), 0)
  return [
    measured({
      ...name,
      value: (sum - expected) * toPercent,
      unit: '%',
      // Both sides feel one web: their random parts may move together.
      uRandom: good.reduce((all, { force }) => all + force.u, 0) * toPercent,
      parts: [
        ...good.flatMap(({ side, force }) => named(cellParts(context, side, force.value, toPercent), side)),
        { name: 'what is expected', contribution: u * toPercent },
      ],
      limit: agreementLimit(context, expected, span),
      averaging: averagingOf(capture),
      formula: '(ΣF measured − ΣF expected) / ΣF expected along the arrows',
      source: 'momentum balance of the wrapped web; JCGM 100, 5.1.2',
      inputs: [input('measured', sum, 'N'), input('expected', expected, 'N', u)],
    }),
  ]
}

const named = (parts: readonly Part[], side: Side): Part[] =>
  parts.map((part) => ({ ...part, name: `${part.name}, ${SIDE_WORDS[side]}` }))

function cellParts(context: VerificationContext, side: Side, force: number, perNewton: number): Part[] {
  const { gainU, zeroUN } = cellScale(context, side)
  return [
    { name: 'gain of the channel', contribution: Math.abs(force) * gainU * perNewton },
    { name: 'zero of the channel', contribution: zeroUN * perNewton },
  ]
}

function pairAt(context: VerificationContext, capture: Capture, point: string): RecordFigure[] {
  if (context.sides.length < 2) return []
  const limit = within(context.limits.side_difference_percent, '%')
  const name = { id: 'imbalance', title: 'Side difference', point }
  const drive = sideOf(capture, 'drive_side')?.force
  const operator = sideOf(capture, 'operator_side')?.force
  if (drive == null || operator == null) return [untold(name, '%', 'a side gives no good samples', limit)]
  const sum = drive.value + operator.value
  if (!(Math.abs(sum) > 0)) return [untold(name, '%', 'the sides add up to nothing', limit)]
  const value = (100 * (operator.value - drive.value)) / sum
  // dI/dF_OS = (100 − I)/sum, dI/dF_DS = −(100 + I)/sum
  const perOperator = (100 - value) / sum
  const perDrive = -(100 + value) / sum
  const parts = [
    ...named(cellParts(context, 'drive_side', drive.value, perDrive), 'drive_side'),
    ...named(cellParts(context, 'operator_side', operator.value, perOperator), 'operator_side'),
  ]
  const imbalance = measured({
    ...name,
    value,
    unit: '%',
    uRandom: capture.imbalance?.u ?? Math.hypot(perDrive * drive.u, perOperator * operator.u),
    parts,
    limit,
    formula: '(F_OS − F_DS)/(F_OS + F_DS)',
    source: 'delta method, JCGM 100, 5.1.2',
  })
  const distance = context.zone.cell_distance_m
  if (distance === undefined || imbalance.u === null) return [imbalance]
  const perPercent = (1000 * distance) / 200
  return [
    imbalance,
    measured({
      id: 'line-of-pull',
      title: 'Line of pull, from mid-span towards the operator side',
      point,
      value: value * perPercent,
      unit: 'mm',
      uRandom: imbalance.u * perPercent,
      limit: null,
      formula: 'e = I L/2, force factors taken as equal',
      source: 'moments about mid-span',
    }),
  ]
}

// --- over the points -------------------------------------------------------------

function overPoints(context: VerificationContext, points: readonly Point[]): RecordFigure[] {
  const fits = context.sides.flatMap((side) => {
    const fit = lineOf(context, points, side)
    return fit === undefined ? [] : [fit]
  })
  const [drive, operator] = fits
  return [
    ...fits.flatMap(({ side, slope, offset, uSlope, uOffset, parts, n }) => [
      measured({
        id: 'slope-error',
        title: 'Share by which it is off',
        side,
        value: slope,
        unit: '%',
        uRandom: uSlope,
        dof: Math.max(1, n - 2),
        parts,
        limit: null,
        averaging: repeats(n, 'points'),
        formula: 'slope of measured over expected force, less 1',
        source: 'least squares over the points, JCGM 100, H.3',
      }),
      measured({
        id: 'offset',
        title: 'Constant part by which it is off',
        side,
        value: offset,
        unit: 'N',
        uRandom: uOffset,
        dof: Math.max(1, n - 2),
        parts: [{ name: 'zero of the channel', contribution: cellScale(context, side).zeroUN }],
        limit: null,
        formula: 'measured force where nothing is expected, by the same line',
        source: 'least squares over the points, JCGM 100, H.3',
      }),
    ]),
    ...(drive !== undefined && operator !== undefined && fits.length === 2
      ? [
          measured({
            id: 'slope-imbalance',
            title: 'Share: operator side less drive side',
            value: operator.slope - drive.slope,
            unit: '%',
            uRandom: Math.hypot(operator.uSlope, drive.uSlope),
            dof: Math.max(1, Math.min(operator.n, drive.n) - 2),
            parts: [...operator.parts.slice(0, 1), ...drive.parts.slice(0, 1)],
            limit: null,
            formula: 'difference of both slopes',
            source: 'least squares over the points',
          }),
          measured({
            id: 'offset-difference',
            title: 'Offset: operator side less drive side',
            value: operator.offset - drive.offset,
            unit: 'N',
            uRandom: Math.hypot(operator.uOffset, drive.uOffset),
            dof: Math.max(1, Math.min(operator.n, drive.n) - 2),
            parts: [operator.side, drive.side].map((side) => ({
              name: `zero of the ${SIDE_WORDS[side]}`,
              contribution: cellScale(context, side).zeroUN,
            })),
            limit: null,
            formula: 'difference of both offsets',
            source: 'least squares over the points',
          }),
        ]
      : []),
    ...speedEffect(context, points),
  ]
}

interface SideLine {
  readonly side: Side
  readonly slope: number
  readonly offset: number
  readonly uSlope: number
  readonly uOffset: number
  readonly parts: readonly Part[]
  readonly n: number
}

function lineOf(context: VerificationContext, points: readonly Point[], side: Side): SideLine | undefined {
  const pairs = points.flatMap(({ capture, at }) => {
    const force = sideOf(capture, side)?.force
    if (force == null || typeof at === 'string') return []
    return [
      {
        x: at.side(side).value,
        y: force.value,
        u: Math.max(force.u, 1e-9),
        relative: at.side(side).u / Math.abs(at.side(side).value),
      },
    ]
  })
  const fit = fitPolynomial(pairs, { degree: 1, intercept: true })
  if (fit === undefined) return undefined
  const [offset = 0, slope = 0] = fit.coefficients
  const stated = Math.max(...pairs.map(({ u }) => u))
  const spread = Math.max(...pairs.map(({ x }) => x)) - Math.min(...pairs.map(({ x }) => x))
  const uSlope = Math.sqrt(fit.covariance?.[1]?.[1] ?? (stated / Math.max(spread, 1e-9)) ** 2)
  const uOffset = Math.sqrt(fit.covariance?.[0]?.[0] ?? stated ** 2)
  return {
    side,
    slope: 100 * (slope - 1),
    offset,
    uSlope: 100 * uSlope,
    uOffset,
    parts: [
      { name: `gain of the ${SIDE_WORDS[side]}`, contribution: 100 * cellScale(context, side).gainU },
      { name: 'what is expected', contribution: 100 * Math.max(...pairs.map(({ relative }) => relative)) },
    ],
    n: pairs.length,
  }
}

interface SpeedPair {
  readonly squared: number
  readonly tension: number
  /** Measured less expected, N of web tension, and its standard uncertainty. */
  readonly off: number
  readonly u: number
}

/**
 * How much of m v² is left in the total: 0 where it is taken off rightly, −100 where it is not taken off and should be.
 *
 * off = a + b T + c v² by weighted least squares over the points: a zero shows as a, a gain or an arrow as b, so that
 * neither is taken for speed where the points are unevenly spread. u(c) from the stated uncertainties, widened by the
 * scatter about the fit where that is larger (Birge ratio; JCGM 100, H.3 for the fit). Three points or a fit that they
 * do not determine: not told.
 */
function speedEffect(context: VerificationContext, points: readonly Point[]): RecordFigure[] {
  const told = points.flatMap((point) => speedPair(context, point))
  const pairs = told.map(({ pair }) => pair)
  const scaled = (of: (pair: SpeedPair) => number) => Float64Array.from(pairs, (pair) => of(pair) / pair.u)
  const columns = [scaled(() => 1), scaled(({ tension }) => tension), scaled(({ squared }) => squared)]
  const right = scaled(({ off }) => off)
  const fit = pairs.length > columns.length ? leastSquares(columns, right) : undefined
  const [, , slope] = fit?.beta ?? []
  if (fit === undefined || slope === undefined) return []
  const dof = pairs.length - columns.length
  const misses = right.map(
    (y, i) => y - columns.reduce((sum, column, j) => sum + (column[i] ?? 0) * (fit.beta[j] ?? 0), 0),
  )
  const birge = misses.reduce((sum, miss) => sum + miss * miss, 0) / dof
  const uSlope = Math.sqrt((fit.unitCovariance[2]?.[2] ?? Number.NaN) * Math.max(1, birge))
  const mass = told.find(({ pair }) => pair.squared > 0)?.mass ?? 0
  const common = {
    id: 'speed-effect',
    title: 'What grows with the square of speed',
    dof: birge > 1 ? dof : Number.POSITIVE_INFINITY,
    limit: null,
    formula: 'c of: measured less expected tension = a + b T + c v²',
    source: 'least squares over the points, JCGM 100, H.3; Birge ratio',
  }
  return mass > 0
    ? [measured({ ...common, value: (100 * slope) / mass, unit: '% of m v²', uRandom: (100 * uSlope) / mass })]
    : [measured({ ...common, value: slope, unit: 'N/(m/s)²', uRandom: uSlope })]
}

/** A point in newtons of web tension: force over what a newton of tension puts on the arrows. */
function speedPair({ sides }: VerificationContext, { capture, at }: Point): { pair: SpeedPair; mass: number }[] {
  if (typeof at === 'string' || at.tension === at.momentum) return []
  const forces = sides.flatMap((side) => sideOf(capture, side)?.force ?? [])
  if (forces.length < sides.length) return []
  const factor = at.total.value / (at.tension - at.momentum)
  const off = (forces.reduce((sum, { value }) => sum + value, 0) - at.total.value) / factor
  const u = Math.max(Math.hypot(...forces.map((force) => force.u)) / Math.abs(factor), 1e-9)
  const squared = at.speed ** 2
  return [{ pair: { squared, tension: at.tension, off, u }, mass: squared > 0 ? at.momentum / squared : 0 }]
}

// --- another path -----------------------------------------------------------------

/** A ratio of measured to expected that the path as drawn does not make, and the other path that would make it best. */
function pathFound(
  context: VerificationContext,
  points: readonly Point[],
): { readonly figures: readonly RecordFigure[]; readonly hints: readonly string[] } {
  const none = { figures: [], hints: [] }
  const { geometry: configured } = context
  const ratios = context.sides.map((side) => [side, ratioOver(context, points, side)] as const)
  if (configured === null || ratios.some(([, ratio]) => ratio === undefined)) return none
  const { path, cells } = configured.geometry
  const first = points.flatMap(({ at }) => (typeof at === 'string' ? [] : [at]))[0]
  const { before, after } = trioOf(configured.geometry, first?.neighbour ?? null)
  const candidates = pathCandidates({
    path: { ...path, before: [...path.before.slice(0, -1), before], after: [after, ...path.after.slice(1)] },
    arrows: mapSides(cells, ({ arrow }) => arrow),
    measured: Object.fromEntries(ratios) as Sided<{ ratio: number; u: number }>,
  })
  const drawn = candidates.find(({ changes }) => changes.length === 0)
  const other = candidates.find(({ changes }) => changes.length > 0)
  if (other === undefined || !Number.isFinite(other.misfit)) return none
  const speaks = drawn?.explains === false && other.explains
  return {
    figures: [
      measured({
        id: 'best-path-misfit',
        title: `Best other path (${other.words}): misfit in standard uncertainties`,
        value: other.misfit,
        unit: '',
        limit: null,
        formula:
          'largest |measured ratio − ratio of that path| / u over the sides; at most 2 does not speak against it',
        source: 'F′/F = a·pull′/a·pull of the other path; momentum cancels',
        inputs: [input('misfit as drawn', drawn?.misfit ?? null, '')],
      }),
    ],
    hints: speaks ? [`The ratio is that of another path: ${other.words}. Look at the web path.`] : [],
  }
}

/** Measured over expected of a side, mean over the points; known no better than one of them. */
function ratioOver(context: VerificationContext, points: readonly Point[], side: Side) {
  const each = points.flatMap(({ capture, at }) => {
    const force = sideOf(capture, side)?.force
    if (force == null || typeof at === 'string') return []
    const expected = at.side(side)
    const { gainU, zeroUN } = cellScale(context, side)
    const u = Math.hypot(force.u, force.value * gainU, zeroUN, expected.u) / Math.abs(expected.value)
    return [{ ratio: force.value / expected.value, u }]
  })
  if (each.length === 0) return undefined
  const mean = (of: (one: { ratio: number; u: number }) => number) =>
    each.reduce((sum, one) => sum + of(one), 0) / each.length
  return { ratio: mean(({ ratio }) => ratio), u: mean(({ u }) => u) }
}
