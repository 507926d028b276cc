import type { Side } from '../../../shared/sample.ts'
import type { ComputedFigure } from '../../../shared/schemas/computed-figure.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import type { RecordFigure } from '../../../shared/schemas/verification/result.ts'
import { calibrate } from '../../calibration/calibrate.ts'
import type { CalibrationReading } from '../../calibration/series.ts'
import { SIDE_WORDS } from '../../geometry/sided.ts'
import { capturesOf, sideOf, toldWith } from '../captured.ts'
import { cellScale, spanOfSide, type VerificationContext } from '../context.ts'
import { captureOf, choiceField, numberField, typed } from '../fields.ts'
import { asRecorded, input, measured, repeats, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import { knownForce, U_SHARE } from '../rope-force.ts'
import type { Evidence, VerificationTest } from '../test.ts'

const ROPE_MM = 4
const THICKEST_MM = 50

export const knownWeightSeries: VerificationTest = {
  id: 'known-weight.series',
  stage: 'known-weight',
  title: 'Known weights, centred, up and down',
  proves: 'Both sides make of a known force what they should, in a straight line, both ways, every time.',
  effect:
    'Gain, shape and return to zero of each side; a side that differs under a centred weight differs by itself, not by the web.',
  caution:
    'Locked out. Hang weights only from what the roller and the frame may carry; stand clear of the load and the rope.',
  steps: [
    'Lay the rope along the true web path at mid-span, web off.',
    'Take the reading without weight, then with each weight going up, then going down, and without weight again; three cycles.',
  ],
  asFoundAsLeft: true,
  plan: ({ geometry, limits, sides }) => ({
    fields: [numberField('rope-mm', 'Diameter of the rope', 'mm', { required: false, preset: ROPE_MM })],
    captures: [
      captureOf('point', 'Weight on the rope', 'Let it hang still.', 'still', 5, {
        times: 6,
        fields: [
          numberField('mass', 'Weight with hook and hanger', 'kg', { hint: '0 for none' }),
          choiceField('direction', 'Reached', [
            { value: 'up', label: 'going up' },
            { value: 'down', label: 'going down' },
          ]),
          numberField('cycle', 'Cycle', '', { preset: 1 }),
        ],
      }),
    ],
    limits: [
      listed('Gain', within(limits.known_weight_percent, '%')),
      listed('Nonlinearity', within(limits.nonlinearity_percent, '% of span')),
      listed('Hysteresis', within(limits.hysteresis_percent, '% of span')),
      listed('Repeatability', within(limits.repeatability_percent, '% of span')),
      listed('Zero return', within(limits.zero_return_percent, '% of span')),
      ...(sides.length === 2
        ? [listed('Side difference under the weight', within(limits.known_weight_difference_percent, '%'))]
        : []),
    ],
    notFor: geometry === null ? 'the zone has no geometry: nothing says what the rope puts on each arrow' : null,
  }),
  judge(context, evidence) {
    const rope = typed(evidence.values, 'rope-mm') ?? ROPE_MM
    if (!(rope > 0 && rope <= THICKEST_MM)) return notDone(`the rope must be between 0 and ${THICKEST_MM} mm thick`)
    const points = capturesOf(evidence, 'point').filter(({ values }) => isMass(values.mass))
    const loaded = points.filter((capture) => (toldWith(capture, 'mass') ?? 0) > 0)
    if (loaded.length === 0 || points.length < 3)
      return notDone('missing: readings without weight and with at least one weight, up and down')
    const figures = context.sides.flatMap((side) => ofSeries(context, evidence, points, side))
    const bare = points.filter((capture) => toldWith(capture, 'mass') === 0)
    return resultOf(
      [...figures, ...difference(context, loaded, bare)],
      [
        'Gain off on both sides alike: the span, the rope’s path or the arrows. On one side: its arrow, then its gain.',
        'Hysteresis or no return to zero: free play, clamps, end clearance.',
      ],
    )
  },
}

/** Nothing, or what somebody could hang: a gram and more. */
const isMass = (mass: unknown): mass is number => mass === 0 || (typeof mass === 'number' && mass >= 0.001)

function ofSeries(
  context: VerificationContext,
  evidence: Evidence,
  points: readonly Capture[],
  side: Side,
): RecordFigure[] {
  const known = knownForce(context, side, (typed(evidence.values, 'rope-mm') ?? ROPE_MM) / 1000)
  const { limits } = context
  if (known === undefined) {
    const name = { id: 'gain-error', title: 'Gain against the expected one', side }
    return [untold(name, '%', 'no rope that thick can run along this path', within(limits.known_weight_percent, '%'))]
  }
  const scale = cellScale(context, side)
  const readings = points.flatMap((capture): CalibrationReading[] => {
    const of = sideOf(capture, side)?.electrical
    if (of == null) return []
    const direction = capture.values.direction === 'down' ? 'down' : 'up'
    const force = (toldWith(capture, 'mass') ?? 0) * known.perKilogram
    return [
      { cycle: toldWith(capture, 'cycle') ?? 1, direction, force, reading: of.value, ...(of.u > 0 ? { u: of.u } : {}) },
    ]
  })
  const half = (limit: { value: number; source: string }) => ({ target: 0, half: limit.value, source: limit.source })
  const calibration = calibrate(readings, {
    unit: scale.unit,
    forceScale: known.contributions,
    resolution: scale.step,
    spanN: spanOfSide(context, side),
    expectedGain: { value: scale.gainN, u: Math.abs(scale.gainN) * scale.gainU },
    limits: {
      gain: half(limits.known_weight_percent),
      nonlinearity: half(limits.nonlinearity_percent),
      hysteresis: half(limits.hysteresis_percent),
      repeatability: half(limits.repeatability_percent),
      zeroReturn: half(limits.zero_return_percent),
    },
  })
  const told = (id: string, title: string, figure: ComputedFigure | null) =>
    figure === null ? [] : [asRecorded({ id, title, side }, figure)]
  return [
    ...told('gain-error', 'Gain against the expected one', calibration.gainDifference),
    ...told('nonlinearity', 'Nonlinearity', calibration.nonlinearity),
    ...told('hysteresis', 'Hysteresis', calibration.hysteresis),
    ...told('repeatability', 'Repeatability', calibration.repeatability),
    ...told('zero-return', 'Zero return', calibration.zeroReturn),
    ...told('gain', 'Gain found', calibration.gain),
  ]
}

/** Side difference of the weight alone: what each side adds over its mean reading without weight, so that zeros cancel. */
function difference(
  context: VerificationContext,
  loaded: readonly Capture[],
  bare: readonly Capture[],
): RecordFigure[] {
  if (context.sides.length < 2) return []
  const name = { id: 'weight-imbalance', title: 'Side difference under the centred weight' }
  const limit = within(context.limits.known_weight_difference_percent, '%')
  const zeros = bare.flatMap(forcesOf)
  if (zeros.length === 0) return [untold(name, '%', 'a reading of both sides without weight is missing', limit)]
  const [zeroDrive, zeroOperator] = [meanOf(zeros, 'drive'), meanOf(zeros, 'operator')]
  const each = loaded.flatMap(forcesOf).flatMap(({ drive, operator }) => {
    const [ds, os] = [drive - zeroDrive, operator - zeroOperator]
    return ds + os === 0 ? [] : [{ value: (100 * (os - ds)) / (os + ds), sum: Math.abs(ds + os) }]
  })
  if (each.length === 0) return [untold(name, '%', 'no good samples of both sides under a weight', limit)]
  const mean = each.reduce((total, { value }) => total + value, 0) / each.length
  const squares = each.reduce((total, { value }) => total + (value - mean) ** 2, 0)
  const least = Math.min(...each.map(({ sum }) => sum))
  const uZero = Math.hypot(...zeros.map(({ u }) => u)) / zeros.length
  return [
    measured({
      ...name,
      value: mean,
      unit: '%',
      uRandom: each.length > 1 ? Math.sqrt(squares / (each.length - 1) / each.length) : 0,
      dof: Math.max(1, each.length - 1),
      parts: [
        // dI/I_gain = 2 OS·DS/(OS + DS)², a half where both are alike.
        ...context.sides.map((side) => ({
          name: `gain of the ${SIDE_WORDS[side]}`,
          contribution: 50 * cellScale(context, side).gainU,
        })),
        { name: 'readings without weight', contribution: (100 * Math.SQRT2 * uZero) / least },
        { name: 'place of the rope', contribution: 200 * U_SHARE },
      ],
      limit,
      averaging: repeats(each.length, 'readings'),
      formula:
        'mean of (F_OS − F_DS)/(F_OS + F_DS) over the readings with a weight, each side less its readings without',
      source: 'moments about mid-span',
      inputs: [input('readings', each.length, ''), input('readings without weight', zeros.length, '')],
    }),
  ]
}

interface BothForces {
  readonly drive: number
  readonly operator: number
  readonly u: number
}

function forcesOf(capture: Capture): BothForces[] {
  const drive = sideOf(capture, 'drive_side')?.force
  const operator = sideOf(capture, 'operator_side')?.force
  if (drive == null || operator == null) return []
  return [{ drive: drive.value, operator: operator.value, u: Math.max(drive.u, operator.u) }]
}

const meanOf = (all: readonly BothForces[], of: 'drive' | 'operator'): number =>
  all.reduce((sum, one) => sum + one[of], 0) / all.length
