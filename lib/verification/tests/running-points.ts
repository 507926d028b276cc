import type { Side } from '../../../shared/sample.ts'
import type { Capture, RecordFigure } from '../../../shared/schemas/verification.ts'
import { fitPolynomial } from '../../calibration/polynomial-fit.ts'
import { shortNumber } from '../../statistics/words.ts'
import { capturesOf, sideOf } from '../captured.ts'
import { cellScale, spanOfSide, type VerificationContext } from '../context.ts'
import { type ExpectedAt, expectedAt } from '../expected-at.ts'
import { captureOf } from '../fields.ts'
import { input, measured, type Part, repeats, untold } from '../figure.ts'
import { atMost, listed, type RecordLimit, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import type { VerificationTest } from '../test.ts'

/** Speeds and tensions further apart than this are two (common practice, no source). */
const APART = 0.15
const SECONDS = 30

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
      captureOf('point', 'Steady running', 'Keep speed and tension constant.', 'steady', SECONDS, { times: 4 }),
    ],
    limits: [
      ...(context.geometry === null ? [] : [listed('Agreement of each side', agreementLimit(context, 100, 0))]),
      ...(context.sides.length === 2
        ? [listed('Side difference', within(context.limits.side_difference_percent, '%'))]
        : []),
      listed('Noise of each side', atMost(context.limits.noise_percent, '%')),
    ],
    notFor: null,
  }),
  judge(context, evidence) {
    const points = capturesOf(evidence, 'point').map(
      (capture): Point => ({ capture, name: pointName(capture), at: expectedAt(context, capture) }),
    )
    if (points.length === 0) return notDone('missing: steady running')
    const lacking = lackingPoints(points)
    if (lacking !== null)
      return notDone(
        lacking,
        points.flatMap((point) => atPoint(context, point)),
      )
    return resultOf(
      [...points.flatMap((point) => atPoint(context, point)), ...overPoints(context, points)],
      [
        'Same share on both sides at every point: span, path or arrows. One side only: its arrow or gain. A constant offset: zero.',
        'Grows with speed: basis weight and momentum. Side difference that a centred weight did not show: the web runs or pulls off centre.',
      ],
    )
  },
}

const pointName = ({ speed, reference, total }: Capture): string => {
  const at = speed === null ? 'speed not told' : `${shortNumber(speed.value * 60)} m/min`
  const tension = reference ?? total
  return tension === null ? at : `${at}, ${shortNumber(tension.value)} N`
}

/** Two speeds and two tensions are asked for wherever channels tell them. */
function lackingPoints(points: readonly Point[]): string | null {
  const spread = (of: (capture: Capture) => number | undefined): boolean | null => {
    const values = points.map(({ capture }) => of(capture)).filter((value) => value !== undefined)
    if (values.length === 0) return null
    return Math.max(...values) - Math.min(...values) >= APART * Math.max(...values.map(Math.abs))
  }
  if (spread((capture) => capture.speed?.value) === false) return 'missing: a second speed, at least 15 % away'
  const tensions = spread((capture) => (capture.reference ?? capture.total)?.value)
  return tensions === false ? 'missing: a second tension, at least 15 % away' : null
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
      averaging: {
        seconds: (capture.toMs - capture.fromMs) / 1000,
        longestSeconds: 3600,
        power: 1,
        setting: 'the capture',
        mostSettableSeconds: 3600,
      },
      formula: '(F measured − F expected) / F expected along the arrow',
      source: 'momentum balance of the wrapped web; JCGM 100, 5.1.2',
      inputs: [input('measured', force.value, 'N', force.u), input('expected', expected.value, 'N', expected.u)],
    }),
    noise,
  ]
}

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
    ...cellParts(context, 'drive_side', drive.value, perDrive),
    ...cellParts(context, 'operator_side', operator.value, perOperator),
  ].map((part, i) => ({ ...part, name: `${part.name}, ${i < 2 ? 'drive side' : 'operator side'}` }))
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
      { name: `gain of the ${side.replace('_', ' ')}`, contribution: 100 * cellScale(context, side).gainU },
      { name: 'what is expected', contribution: 100 * Math.max(...pairs.map(({ relative }) => relative)) },
    ],
    n: pairs.length,
  }
}

/** How much of m v² is left in the total: 0 where it is taken off rightly, −100 where it is not taken off and should be. */
function speedEffect(context: VerificationContext, points: readonly Point[]): RecordFigure[] {
  if (context.geometry === null) return []
  const pairs = points.flatMap(({ capture, at }) => {
    if (typeof at === 'string') return []
    const sides = context.sides.map((side) => [sideOf(capture, side)?.force, at.side(side)] as const)
    if (sides.some(([force]) => force == null)) return []
    const expected = sides.reduce((sum, [, of]) => sum + of.value, 0)
    const difference = sides.reduce((sum, [force, of]) => sum + (force?.value ?? 0) - of.value, 0)
    const u = Math.hypot(...sides.map(([force]) => force?.u ?? 0))
    // In newtons of web tension: force over what a newton of tension puts on the arrows.
    const factor = expected / Math.max(1e-9, at.tension - at.momentum)
    return [
      { x: at.speed ** 2, y: difference / factor, u: Math.max(u / Math.abs(factor), 1e-9), momentum: at.momentum },
    ]
  })
  const fit = fitPolynomial(pairs, { degree: 1, intercept: true })
  const slope = fit?.coefficients[1]
  const perSquare = pairs.find(({ x }) => x > 0)
  if (fit === undefined || slope === undefined || perSquare === undefined) return []
  const spread = Math.max(...pairs.map(({ x }) => x)) - Math.min(...pairs.map(({ x }) => x))
  const uSlope = Math.sqrt(
    fit.covariance?.[1]?.[1] ?? (Math.max(...pairs.map(({ u }) => u)) / Math.max(spread, 1e-9)) ** 2,
  )
  const mass = perSquare.momentum / perSquare.x
  const name = { id: 'speed-effect', title: 'What grows with the square of speed' }
  const common = {
    limit: null,
    formula: 'slope of measured less expected tension over v²',
    source: 'least squares over the points',
  }
  if (mass > 0)
    return [
      measured({ ...name, ...common, value: (100 * slope) / mass, unit: '% of m v²', uRandom: (100 * uSlope) / mass }),
    ]
  return [measured({ ...name, ...common, value: slope, unit: 'N/(m/s)²', uRandom: uSlope })]
}
