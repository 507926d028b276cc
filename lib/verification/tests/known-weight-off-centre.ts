import { DEFAULT_CALIBRATION_LIMITS } from '../../calibration/limits.ts'
import { offCentreCheck } from '../../calibration/off-centre.ts'
import { capturesOf, sideOf, toldWith } from '../captured.ts'
import { captureOf, numberField, typed } from '../fields.ts'
import { input, measured, untold } from '../figure.ts'
import { listed, within } from '../limits.ts'
import { notDone, resultOf } from '../result.ts'
import { knownForce } from '../rope-force.ts'
import type { VerificationTest } from '../test.ts'

/** Places nearer than this are one (common practice, no source). */
const LEAST_APART_M = 0.05

export const knownWeightOffCentre: VerificationTest = {
  id: 'known-weight.off-centre',
  stage: 'known-weight',
  title: 'The same weight off centre',
  proves: 'The sum does not care where the web runs; the difference does, by the lever arms, and the right way round.',
  effect: 'Sides swapped mirror the line of pull: everything else looks right.',
  caution:
    'Locked out. Hang weights only from what the roller and the frame may carry; stand clear of the load and the rope.',
  steps: ['Hang one weight at mid-span, then as far towards each side, and tell the place each time.'],
  plan: ({ sides, limits, geometry }) => ({
    fields: [numberField('mass', 'Weight with hook and hanger', 'kg')],
    captures: [
      captureOf('place', 'Weight at a place', 'Let it hang still.', 'still', 5, {
        times: 3,
        fields: [numberField('position', 'From mid-span, towards the operator side', 'mm')],
      }),
    ],
    limits: [
      listed('Movement of the sum', within(limits.sum_change_percent, '%')),
      listed('Movement of the difference against 2F/L', within(limits.difference_slope_percent, '%')),
    ],
    notFor:
      sides.length === 1
        ? 'one cell: it cannot tell where the weight hangs'
        : geometry === null
          ? 'the zone has no geometry'
          : null,
  }),
  judge(context, evidence) {
    const mass = typed(evidence.values, 'mass')
    const distance = context.zone.cell_distance_m
    const readings = capturesOf(evidence, 'place').flatMap((capture) => {
      const position = toldWith(capture, 'position')
      const drive = sideOf(capture, 'drive_side')?.force
      const operator = sideOf(capture, 'operator_side')?.force
      if (position === undefined || drive == null || operator == null) return []
      return [
        {
          position: position / 1000,
          driveSideN: drive.value,
          operatorSideN: operator.value,
          u: Math.max(drive.u, operator.u, 1e-9),
        },
      ]
    })
    if (mass === undefined || !(mass >= 0.001) || readings.length < 3)
      return notDone('missing: the weight, or good readings of both sides at three places')
    const places = readings.map(({ position }) => position)
    if (Math.max(...places) - Math.min(...places) < LEAST_APART_M)
      return notDone(`missing: places of the rope at least ${1000 * LEAST_APART_M} mm apart`)
    const drive = knownForce(context, 'drive_side', 0.004)
    const operator = knownForce(context, 'operator_side', 0.004)
    if (distance === undefined || drive === undefined || operator === undefined)
      return notDone('the geometry does not tell the force of the weight')
    const force = mass * (drive.perKilogram + operator.perKilogram)
    const relative = Math.hypot(...drive.contributions.map((part) => part.relative))
    const half = (limit: { value: number; source: string }) => ({ target: 0, half: limit.value, source: limit.source })
    const check = offCentreCheck(
      {
        readings,
        force: { value: force, u: force * relative },
        cellDistance: { value: distance, u: 0.001 * distance },
        uPosition: 0.002,
      },
      {
        ...DEFAULT_CALIBRATION_LIMITS,
        sumMovement: half(context.limits.sum_change_percent),
        differenceSlope: half(context.limits.difference_slope_percent),
      },
    )
    const { found, expected } = check
    const ratio = found.differencePerMetre === null ? null : found.differencePerMetre / expected.differencePerMetre
    const ratioName = { id: 'difference-slope', title: 'Movement of the difference over 2F/L' }
    const limit = {
      low: 1 - context.limits.difference_slope_percent.value / 100,
      high: 1 + context.limits.difference_slope_percent.value / 100,
      text: `1 ± ${context.limits.difference_slope_percent.value} %`,
      source: context.limits.difference_slope_percent.source,
    }
    const slope = check.differenceSlope
    const sum = check.sumMovement
    return resultOf(
      [
        sum.value === null || sum.u === null
          ? untold(
              { id: 'sum-change', title: 'Movement of the sum' },
              '%',
              sum.waiting ?? 'not told',
              within(context.limits.sum_change_percent, '%'),
            )
          : measured({
              id: 'sum-change',
              title: 'Movement of the sum',
              value: sum.value,
              unit: '%',
              uRandom: sum.u,
              ...dofOf(sum),
              limit: within(context.limits.sum_change_percent, '%'),
              formula: sum.why.formula,
              source: sum.why.source,
            }),
        ratio === null || slope.u === null
          ? untold(ratioName, 'times', slope.waiting ?? 'not told', limit)
          : measured({
              ...ratioName,
              value: ratio,
              unit: 'times',
              uRandom: slope.u / 100,
              ...dofOf(slope),
              limit,
              formula: 'slope of (F_OS − F_DS) over the place / (2F/L)',
              source: slope.why.source,
              inputs: [input('force of the weight', force, 'N'), input('cell distance', distance, 'm')],
            }),
      ],
      ratio !== null && ratio < 0
        ? ['The difference moves the wrong way: the sides are swapped, in the cables or in the config.']
        : [
            'The sum moves: one arrow or one gain differs. The difference moves too little: something else carries part of the roller.',
          ],
    )
  },
}

const dofOf = ({ dof }: { readonly dof: number | null }) => (dof === null ? {} : { dof })
