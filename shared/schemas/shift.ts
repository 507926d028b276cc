import { z } from 'zod'
import { instant } from './instant.ts'
import { figure, figureLimit } from './now.ts'
import { zoneMinuteState } from './zone-minute.ts'

/**
 * What may drift, each apart from the others. `agreement`: measured less expected, % of expected (zero and span
 * together). `span`: the ratio of measured to expected alone. `side_difference`: in points. `zero_…`: the reading of a
 * side with a slack web, N.
 */
const DRIFT_QUANTITIES = [
  'agreement',
  'side_difference',
  'span',
  'zero_drive_side',
  'zero_operator_side',
  'zero_single',
] as const
const driftQuantity = z.enum(DRIFT_QUANTITIES)

/** Unit of the quantity itself; its rate is in the same unit an hour. */
const quantityUnit = z.enum(['%', 'N'])

/** When a limit will be reached if the drift goes on as it did. Hours from the end of the stretch. */
const forecast = z.object({
  limit: figureLimit,
  /**
   * `beyond`: the line is beyond the limit already. `reaches`: at every rate within the interval. `may-reach`: at some
   * rates within it. `never`: at none within a week.
   */
  state: z.enum(['beyond', 'reaches', 'may-reach', 'never']),
  /** At the rate told; null when not within a week at that rate. */
  hours: z.number().nullable(),
  /** 95 % interval; null at an end that is open: not within a week. */
  earliestHours: z.number().nullable(),
  latestHours: z.number().nullable(),
  sentence: z.string(),
})

/** Whether a series has a trend at all: Mann–Kendall, modified for autocorrelation. */
const trendTest = z.object({
  /** Kendall's rank correlation with time, −1 to 1. */
  tau: z.number(),
  /** Two-sided probability of as much under no trend. */
  p: z.number(),
  n: z.int(),
  /** Independent values that the series is worth. */
  effectiveN: z.number(),
})

export const drift = z.object({
  quantity: driftQuantity,
  unit: quantityUnit,
  /** Rate of change an hour: judged; that of a zero in % of span, in N where the span is not known. `waiting` says what it waits for. */
  rate: figure,
  /** 95 % interval of the rate; null without a rate. */
  low: z.number().nullable(),
  high: z.number().nullable(),
  /** The line through the series since its last step, to be drawn: value at both ends of that stretch, ± U there. */
  line: z
    .object({
      fromMs: z.number(),
      toMs: z.number(),
      atFrom: z.number(),
      atTo: z.number(),
      UFrom: z.number(),
      UTo: z.number(),
    })
    .nullable(),
  trend: trendTest.nullable(),
  /** To the limit of the quantity itself; null without a rate or without such a limit. */
  forecast: forecast.nullable(),
})

/** A level that changed within a few minutes: not a drift. */
export const step = z.object({
  quantity: driftQuantity,
  /** Start of the first minute after it, epoch ms. */
  timeMs: z.number(),
  /** After less before, and its expanded uncertainty. */
  size: z.number(),
  U: z.number(),
  unit: quantityUnit,
  /** Config revision that came into force at that time; null when none did. */
  revision: z.string().nullable(),
  sentence: z.string(),
})

/** A chart that tells early that a level has moved. */
const controlChart = z.object({
  quantity: driftQuantity,
  kind: z.enum(['ewma', 'cusum']),
  state: z.enum(['in-control', 'signal', 'waiting']),
  /** When it first signalled and has not come back since, and which way; null while in control. */
  sinceMs: z.number().nullable(),
  direction: z.enum(['up', 'down']).nullable(),
  /** Design: probability of a false signal in 8 h, and the average run length behind it, in minutes of steady running. */
  designedFalsePerShift: z.number(),
  designedRunLengthMinutes: z.number(),
  /** What it takes as normal: level, scatter of single minutes and their autocorrelation from one to the next. */
  normal: z
    .object({
      fromMs: z.number(),
      toMs: z.number(),
      minutes: z.int(),
      mean: z.number(),
      sd: z.number(),
      lag1: z.number(),
    })
    .nullable(),
  /**
   * Statistic of each minute after that, to be drawn, in standard deviations of what cannot be foretold from the minute
   * before. EWMA: signal beyond ± limit. CUSUM: the larger of both sums, the downward one negative.
   */
  track: z.object({ timesMs: z.array(z.number()), value: z.array(z.number()), limit: z.number() }).nullable(),
  sentence: z.string(),
})

/** How far averaging helps: Allan deviation of the minutes. */
const allan = z.object({
  quantity: driftQuantity,
  unit: quantityUnit,
  points: z.array(z.object({ seconds: z.number(), deviation: z.number(), n: z.int() })),
  /** The averaging time at which it is least; null when it still falls at the longest, or nothing is told. */
  suggestedSeconds: z.number().nullable(),
  sentence: z.string(),
})

const correlation = z.object({
  quantity: driftQuantity,
  with: z.enum(['temperature', 'speed']),
  /** Pearson's, as measured, and after a straight line in time is taken off both. */
  r: z.number(),
  rDetrended: z.number(),
  /** Of the latter: two-sided, by the effective number of values. */
  p: z.number(),
  n: z.int(),
  effectiveN: z.number(),
  /** Least-squares, of the detrended series: quantity's unit per K or per m/s. */
  slope: z.number(),
  sentence: z.string(),
  caveat: z.string(),
})

/** Readings of a side while the web was slack: one a stretch. */
const zeroTrack = z.object({
  sides: z.array(
    z.object({
      side: z.enum(['drive_side', 'operator_side', 'single']),
      /** Force of the zone's largest tension along the arrow, N; null without geometry. */
      spanN: z.number().nullable(),
      points: z.array(
        z.object({
          fromMs: z.number(),
          toMs: z.number(),
          minutes: z.int(),
          /** Median, N; U is null for a single minute. */
          value: z.number(),
          U: z.number().nullable(),
        }),
      ),
    }),
  ),
  /** What it waits for; null when there is at least one point. */
  waiting: z.string().nullable(),
})

/** What a zone did, minute after minute, run together. */
export const period = z.object({
  /** `missing`: no minute was kept. */
  state: z.enum([...zoneMinuteState.options, 'missing']),
  fromMs: z.number(),
  toMs: z.number(),
  minutes: z.int(),
})

/** What may be compared between two stretches. */
const COMPARED = [
  'agreement',
  'side_difference',
  'total',
  'noise_drive_side',
  'noise_operator_side',
  'noise_single',
  'zero_drive_side',
  'zero_operator_side',
  'zero_single',
  'speed',
  'reference',
  'temperature',
] as const

const mean = z.object({ value: z.number(), U: z.number(), minutes: z.int() })

export const change = z.object({
  what: z.enum(COMPARED),
  unit: z.string(),
  before: mean.nullable(),
  after: mean.nullable(),
  /** After less before; null when either is not told. */
  difference: z.object({ value: z.number(), U: z.number() }).nullable(),
  /** `changed`: beyond its uncertainty. `not-told-apart`: within it. */
  state: z.enum(['changed', 'not-told-apart', 'unknown']),
  sentence: z.string(),
})

/** The body of GET /api/zones/ID/shift. */
export const shiftAnalysis = z.object({
  zone: z.string(),
  fromMs: z.number(),
  toMs: z.number(),
  /** Where the minutes came from. `memory`: recording is off or stopped, and only what came since the start, at most 24 h, is there. */
  source: z.enum(['recorder', 'memory']),
  sourceSentence: z.string(),
  minutes: z.object({ asked: z.int(), kept: z.int(), judged: z.int() }),
  /** What the judged minutes rest on: steady by speed and reference, or by the signals alone, to be confirmed by a person. */
  steadiness: z.enum(['steady', 'assumed', 'none']),
  periods: z.array(period),
  drifts: z.array(drift),
  steps: z.array(step),
  charts: z.array(controlChart),
  allan: z.array(allan),
  correlations: z.array(correlation),
  zero: zeroTrack,
  /** With an earlier stretch; null when none was asked for. */
  baseline: z
    .object({ fromMs: z.number(), toMs: z.number(), minutes: z.int(), judged: z.int(), changes: z.array(change) })
    .nullable(),
})

/** At most so much in one answer. */
export const MOST_SHIFT_MS = 7 * 86_400_000

const isStretch = (from: number, to: number): boolean => from < to && to - from <= MOST_SHIFT_MS

export const shiftQuery = z
  .strictObject({
    from: instant.describe('Begin, epoch ms or ISO 8601'),
    to: instant.describe('End'),
    baseline_from: instant.optional().describe('An earlier stretch to compare with'),
    baseline_to: instant.optional(),
  })
  .refine(({ from, to }) => isStretch(from, to), 'from must be before to, and at most 7 days before it')
  .refine(
    ({ baseline_from: from, baseline_to: to }) => (from === undefined) === (to === undefined),
    'baseline_from and baseline_to come together',
  )
  .refine(
    ({ baseline_from: from, baseline_to: to }) => from === undefined || to === undefined || isStretch(from, to),
    'baseline_from must be before baseline_to, and at most 7 days before it',
  )

export type DriftQuantity = z.infer<typeof driftQuantity>
export type Forecast = z.infer<typeof forecast>
export type TrendTest = z.infer<typeof trendTest>
export type Drift = z.infer<typeof drift>
export type Step = z.infer<typeof step>
export type ControlChart = z.infer<typeof controlChart>
export type AllanResult = z.infer<typeof allan>
export type CorrelationResult = z.infer<typeof correlation>
export type ZeroTrack = z.infer<typeof zeroTrack>
export type Period = z.infer<typeof period>
export type Change = z.infer<typeof change>
export type ShiftAnalysis = z.infer<typeof shiftAnalysis>
export type ShiftQuery = z.output<typeof shiftQuery>
