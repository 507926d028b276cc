import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { SIDE_WORDS } from '../../geometry/sided.ts'
import { shortNumber } from '../../statistics/words.ts'
import type { Averaging } from '../../verdicts/judge.ts'
import { capturesOf, sampledSeconds, sideOf } from '../captured.ts'
import { cellScale, spanOfSide, type VerificationContext } from '../context.ts'
import { type ExpectedAt, expectedAt, speedOf, tensionOf, toldFields } from '../expected-at.ts'
import { captureOf } from '../fields.ts'
import { input, measured, type Part, untold } from '../figure.ts'
import { atMost, listed, type RecordLimit, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import { otherPath } from '../running/other-path.ts'
import { linesOverPoints } from '../running/over-points.ts'
import type { RunningPoint } from '../running/running-point.ts'
import { speedEffect } from '../running/speed-effect.ts'
import type { VerificationTest } from '../test.ts'

/** Speeds and tensions further apart than this are two (common practice, no source). */
const APART = 0.15
const SECONDS = 20

/** Each of two tensions at each of two speeds. */
const POINTS = 4

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
      (capture): RunningPoint => ({ capture, name: pointName(context, capture), at: expectedAt(context, capture) }),
    )
    if (points.length === 0) return notDone('missing: steady running')
    const lacking = lackingPoints(context, points)
    if (lacking !== null)
      return notDone(
        lacking,
        points.flatMap((point) => atPoint(context, point)),
      )
    const path = otherPath(context, points)
    return resultOf(
      [
        ...points.flatMap((point) => atPoint(context, point)),
        ...linesOverPoints(context, points),
        ...speedEffect(context, points),
        ...path.figures,
      ],
      [
        ...path.hints,
        'Same share on both sides at every point: span, path or arrows. One side only: its arrow or gain. A constant offset: zero.',
        'Grows with speed: basis weight and momentum. Side difference that a centred weight did not show: the web runs or pulls off centre.',
      ],
    )
  },
}

/** "120 m/min, 250 N": what a comparison of two visits reads again; see lib/verification/comparing/operating-point.ts. */
function pointName(context: VerificationContext, capture: Capture): string {
  const speed = speedOf(context, capture)
  const at = speed === undefined ? 'speed not told' : `${shortNumber(speed * 60)} m/min`
  const tension = tensionOf(context, capture) ?? capture.total?.value
  return tension === undefined ? at : `${at}, ${shortNumber(tension)} N`
}

/** Two speeds and two tensions are asked for, each with each, wherever anything tells them. */
function lackingPoints(context: VerificationContext, points: readonly RunningPoint[]): string | null {
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

/** What one capture of the running web says by itself. */
export function figuresOfRunning(context: VerificationContext, capture: Capture): RecordFigure[] {
  return atPoint(context, { capture, name: pointName(context, capture), at: expectedAt(context, capture) })
}

function atPoint(context: VerificationContext, { capture, name, at }: RunningPoint): RecordFigure[] {
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

const averagingOf = (capture: Capture): Averaging => ({
  seconds: sampledSeconds(capture),
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
