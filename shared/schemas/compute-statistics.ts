import { z } from 'zod'
import { finite, nonZero, notNegative, positive } from './compute-numbers.ts'
import { figure } from './now.ts'

/**
 * POST /api/compute/statistics: a recorded stretch of one zone, all of it taken as one steady window. SI. A sample
 * that is missing or bad is null: it is left out, never taken as 0, and breaks the noise block.
 */
const MOST_SAMPLES = 50_000

const series = z.array(finite.nullable()).min(1).max(MOST_SAMPLES)

const cell = z.strictObject({
  uGainPercent: notNegative.default(0.5).describe('Standard uncertainty of the gain (common practice)'),
  uZeroN: notNegative.default(0).describe('Standard uncertainty of the zero, N'),
  stepN: notNegative.default(0).describe('Force of one step of the raw value; 0 for none'),
  forceFactor: nonZero.optional().describe('Newtons along the arrow per newton of web tension'),
})

const forces = z.union([
  z.strictObject({ driveSideN: series, operatorSideN: series }),
  z.strictObject({ singleN: series }),
])

const rules = z.strictObject({
  cell: cell.prefault({}).describe('The same for both sides'),
  uForceFactorPercent: notNegative.default(1).describe('Common to both sides (common practice)'),
  cellDistanceM: positive.optional(),
  noiseBlockS: positive
    .min(0.01)
    .max(3600)
    .default(2)
    .describe('Motion slower than this is removed before noise is taken'),
  slackBelowN: notNegative.default(0),
  limits: z
    .strictObject({ sideDifferencePercent: positive, noisePercent: positive, driftPercentPerHour: positive })
    .partial()
    .default({})
    .describe('Judged against these; the common-practice ones where absent'),
})

export const statisticsRequest = z
  .strictObject({
    timesS: z.array(finite).min(1).max(MOST_SAMPLES).describe('Ascending'),
    forces,
    ...rules.shape,
  })
  .refine((r) => Object.values(r.forces).every((side) => side.length === r.timesS.length), {
    path: ['forces'],
    message: 'each side must have one value a time (null where there is none)',
  })
  .refine((r) => r.timesS.every((t, i) => i === 0 || t > (r.timesS[i - 1] ?? t)), {
    path: ['timesS'],
    message: 'the times must ascend',
  })

const side = z.object({ force: figure, tension: figure.optional(), noise: figure, peakToPeak: figure })

export const statisticsResult = z.object({
  samples: z.number(),
  seconds: z.number(),
  sides: z.object({ drive_side: side, operator_side: side }).or(z.object({ single: side })),
  total: figure,
  totalMeans: z.enum(['tension', 'force']),
  /** The next three are absent for one cell. */
  imbalance: figure.optional(),
  lineOfPull: figure.optional(),
  driftOfSideDifference: figure.optional(),
  rateOfTotal: figure,
})

export type StatisticsRequestInput = z.input<typeof statisticsRequest>
export type StatisticsRequest = z.output<typeof statisticsRequest>
export type StatisticsResult = z.infer<typeof statisticsResult>
