import { z } from 'zod'
import { finite, nonZero, notNegative, positive, uncertain } from './compute-numbers.ts'
import { computedFigure } from './computed-figure.ts'
import { figureLimit } from './now.ts'

/**
 * POST /api/compute/calibration: a known-weight calibration of one cell, with an off-centre check of both and a
 * creep record where they were made. SI; angles in rad; readings in the signal's own unit.
 */
const roller = z.strictObject({
  name: z.string().min(1).max(60),
  x: finite,
  y: finite,
  radius: positive,
  turn: z.literal([1, -1]).describe('+1 when the rope turns it counter-clockwise, −1 clockwise'),
})

const offBisector = {
  offBisector: finite.default(0).describe('Arrow from the bisector, rad'),
  uOffBisector: notNegative.default(0.0087).describe('0.5° (common practice)'),
}

const ropeFactorInput = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('given'), value: nonZero, u: notNegative }),
  z.strictObject({
    kind: z.literal('wrap'),
    wrap: positive.max(2 * Math.PI).describe("Wrap of the rope's own centre line, rad"),
    uWrap: notNegative,
    ...offBisector,
  }),
  z.strictObject({
    kind: z.literal('rollers'),
    before: roller,
    measuring: roller,
    after: roller,
    ropeDiameter: notNegative.max(0.1),
    uWrap: notNegative,
    ...offBisector,
  }),
])

const gravityInput = z.union([
  z.strictObject({ value: positive.min(9.7).max(9.9), u: notNegative.default(0.0005) }),
  z.strictObject({
    latitude: finite
      .min(-Math.PI / 2)
      .max(Math.PI / 2)
      .describe('rad'),
    height: finite.min(-500).max(9000).default(0).describe('m above sea level'),
    u: notNegative.default(0.0005).describe('Local anomalies, m/s² (common practice)'),
  }),
])

const calibrationLoads = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('force'),
    uPercent: notNegative.default(0).describe('Standard uncertainty common to every force, % of it'),
  }),
  z.strictObject({
    kind: z.literal('mass'),
    gravity: gravityInput,
    factor: ropeFactorInput,
    share: z
      .strictObject({ value: nonZero, u: notNegative })
      .describe('Part of the force that this cell carries: 0.5 with the rope at mid-span between two cells'),
    uMassPercent: notNegative.default(0.05).describe('Standard uncertainty of the weights, % (common practice)'),
    airShare: notNegative.max(0.1).default(1.5e-4).describe('Density of air over density of the weights'),
  }),
])

const CALIBRATION_LIMIT_NAMES = [
  'nonlinearity',
  'hysteresis',
  'repeatability',
  'zeroReturn',
  'gain',
  'sumMovement',
  'differenceSlope',
  'imbalanceSlope',
] as const

export const calibrationRequest = z.strictObject({
  unit: z.enum(['mA', 'V', 'mV/V', 'counts']),
  loads: calibrationLoads,
  readings: z
    .array(
      z.strictObject({
        cycle: z.int().min(1).max(1000),
        direction: z.enum(['up', 'down']),
        load: notNegative.describe('Force, N, or mass, kg; 0 for the bare roller'),
        reading: finite,
        u: positive.optional().describe('Standard uncertainty of the reading'),
      }),
    )
    .min(1)
    .max(2000),
  resolution: notNegative.default(0).describe('Step of the reading'),
  spanN: positive.optional().describe('Bare roller to largest tension; the largest force when absent'),
  expectedGain: uncertain.optional().describe('N per unit of the signal'),
  limits: z
    .partialRecord(z.enum(CALIBRATION_LIMIT_NAMES), positive)
    .default({})
    .describe('Half-widths, %; the common-practice ones where absent'),
  predictAt: z
    .array(z.strictObject({ reading: finite, u: notNegative.default(0) }))
    .max(200)
    .default([]),
  offCentre: z
    .strictObject({
      readings: z
        .array(z.strictObject({ position: finite, driveSideN: finite, operatorSideN: finite, u: positive.optional() }))
        .min(1)
        .max(200),
      force: uncertain.describe('Of the weight along both arrows together, N'),
      cellDistance: z.strictObject({ value: positive, u: notNegative }),
      uPosition: notNegative.default(0.002).describe('Of the distance between places of the rope, m (common practice)'),
    })
    .optional(),
  creep: z
    .strictObject({
      seconds: z.array(notNegative).min(1).max(5000).describe('Since the weight was put on, ascending'),
      readings: z.array(finite).min(1).max(5000),
      u: positive.optional(),
      cell: z
        .strictObject({
          letter: z.enum(['C', 'D']),
          intervals: z.int().min(100).max(10_000),
          capacityN: positive,
          load: notNegative.describe('What was held, in the unit of the loads'),
        })
        .optional()
        .describe(
          'Class by OIML R 60 on the certificate, whose limits the creep is held to; for information without it',
        ),
    })
    .refine((c) => c.seconds.length === c.readings.length, 'seconds and readings must be of one length')
    .refine((c) => c.seconds.every((s, i) => i === 0 || s > (c.seconds[i - 1] ?? s)), 'seconds must ascend')
    .optional(),
})

const number = z.number()
const orNull = z.number().nullable()

export const calibrationResult = z.object({
  /** reading = zero + slope × force; null when the forces make no line. */
  line: z
    .object({
      zero: number,
      slope: number,
      /** Random standard uncertainties and their covariance; null when nothing tells them. */
      uZero: orNull,
      uSlope: orNull,
      covariance: orNull,
      /** null when unbounded. */
      dof: orNull,
      residualSd: orNull,
      weighted: z.boolean(),
      lackOfFit: z.object({ f: orNull, dofLack: number, dofPure: number, p: number, bends: z.boolean() }).nullable(),
    })
    .nullable(),
  spanN: orNull,
  /** Newtons of one unit of load (1 for forces), and where its uncertainty comes from. */
  forcePerLoad: z.object({
    newtons: number,
    contributions: z.array(
      z.object({ name: z.string(), value: number, unit: z.string(), u: number, relative: number }),
    ),
  }),
  rows: z.array(z.object({ force: number, cycle: number, reading: number, fitted: number, residualPercent: number })),
  gain: computedFigure,
  zero: computedFigure,
  gainDifference: computedFigure.nullable(),
  nonlinearity: computedFigure,
  hysteresis: computedFigure,
  halfDifference: computedFigure,
  repeatability: computedFigure,
  zeroReturn: computedFigure,
  bow: computedFigure,
  predictions: z.array(z.object({ reading: number, force: orNull, u: orNull, U: orNull })),
  offCentre: z
    .object({
      sumMovement: computedFigure,
      differenceSlope: computedFigure,
      imbalanceSlope: computedFigure,
      found: z.object({ differencePerMetre: orNull, imbalancePerMetre: orNull }),
      expected: z.object({ differencePerMetre: number, imbalancePerMetre: number }),
    })
    .nullable(),
  creep: z
    .object({ fiveMinutes: computedFigure, thirtyMinutes: computedFigure, lastTenMinutes: computedFigure })
    .nullable(),
  limits: z.record(z.enum(CALIBRATION_LIMIT_NAMES), figureLimit),
  notes: z.array(z.string()),
})

export type CalibrationRequestInput = z.input<typeof calibrationRequest>
export type CalibrationRequest = z.output<typeof calibrationRequest>
export type CalibrationResult = z.infer<typeof calibrationResult>
