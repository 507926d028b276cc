import { z } from 'zod'
import { QUALITY_CODES } from '../quality.ts'

/**
 * What a zone is doing now: the body of GET /api/zones/ID/now and of the stream's `now` message.
 *
 * Every figure carries value, unit, uncertainty, limit, verdict, window and time. All values are
 * SI; shares and percentages are in percent (`%`), a difference of percentages in points.
 * A figure that cannot be told has `value: null` and says why in `waiting`.
 */
export const verdictState = z.enum(['inside', 'outside', 'undecided', 'unknown', 'not-done'])

/** Why a verdict stands, for a sentence in any language and unit. */
const verdictReason = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('inside') }),
  z.object({ kind: z.literal('outside') }),
  z.object({ kind: z.literal('needs-time'), seconds: z.number() }),
  z.object({ kind: z.literal('no-time-will-settle'), input: z.string() }),
  z.object({ kind: z.literal('no-data') }),
  z.object({ kind: z.literal('waiting'), for: z.string() }),
  z.object({ kind: z.literal('no-limit') }),
])

export const verdict = z.object({
  state: verdictState,
  reason: verdictReason,
  /** English, SI; a page may write its own from `reason`. */
  sentence: z.string(),
})

export const figureLimit = z.object({
  /** Limit as a half-width: inside means |value − target| + U ≤ half. */
  target: z.number(),
  half: z.number(),
  source: z.string(),
})

export const figureInput = z.object({
  name: z.string(),
  value: z.number().nullable(),
  unit: z.string(),
  /** Standard uncertainty, same unit; null when it has none (a count, a choice). */
  u: z.number().nullable(),
  /** What that uncertainty does to the figure, in the figure's unit: its line of the budget. */
  contribution: z.number().optional(),
  /** Where that uncertainty came from: set in the config, or assumed. Absent where it has none, or needs no telling. */
  source: z.string().optional(),
})

export const figure = z.object({
  value: z.number().nullable(),
  unit: z.enum(['N', '%', 'm', '%/h', 'points/h', 'N/h', '1/s', 'm/s', '°C', 'ms', 'N/m']),
  /** Combined standard uncertainty, and its random part alone; same unit. */
  u: z.number().nullable(),
  uRandom: z.number().nullable(),
  /** Expanded uncertainty U = k·u at about 95 %. */
  U: z.number().nullable(),
  k: z.number().nullable(),
  /** Effective degrees of freedom; null when unbounded. */
  dof: z.number().nullable(),
  /** U rests on an uncertainty that was assumed: the largest systematic input is one, and it counts. Else absent. */
  assumed: z.literal(true).optional(),
  limit: figureLimit.nullable(),
  verdict,
  window: z.object({ seconds: z.number(), samples: z.number(), effectiveSamples: z.number().nullable() }).nullable(),
  /** Epoch ms of the newest sample in it; null when there is none. */
  timeMs: z.number().nullable(),
  /** What it waits for, as a sentence; null when it has a value. */
  waiting: z.string().nullable(),
  /** How it was got: the formula in words and symbols, its source, and the numbers put in. */
  why: z.object({ formula: z.string(), source: z.string(), inputs: z.array(figureInput) }),
})

/** The newest sample of one channel, so that a picture can say how old and how good it is. */
export const live = z.object({
  channel: z.string(),
  value: z.number().nullable(),
  /**
   * Expanded uncertainty of the value, k = 2, from its channel's scale alone. Absent where that tells none: for a cell,
   * whose newest sample carries its whole noise (see the means), for a value of 0, and without a value.
   */
  U: z.number().optional(),
  /** That U rests on an assumed uncertainty. Else absent. */
  assumed: z.literal(true).optional(),
  unit: z.string(),
  electrical: z.number().nullable(),
  electricalUnit: z.string().nullable(),
  raw: z.number().nullable(),
  code: z.enum(QUALITY_CODES),
  timeMs: z.number().nullable(),
  /** ± ms on that time: half the round trip. */
  halfWidthMs: z.number().nullable(),
})

export const sideNow = z.object({
  live,
  /** Force along the arrow, window mean. */
  force: figure,
  /** Web tension this side carries; absent without a force factor. */
  tension: figure.optional(),
  /** Force along the arrow that the geometry expects of the web, at the window's mean speed, reference and neighbour. */
  expected: figure.optional(),
  /** What the channel should read for it, by its own zero and gain; ± U of the expected force alone. */
  expectedSignal: z.object({ value: z.number(), U: z.number(), unit: z.string() }).optional(),
  /** Measured less expected force along the arrow: judged. */
  agreement: figure.optional(),
  noise: figure,
  /** Peak to peak after slow motion is removed, N. */
  peakToPeak: figure,
  capacityN: z.number(),
})

/** One other web path that would explain what was measured. */
const pathCandidate = z.object({
  /** As it goes on after "would fit the web with": `chill roller passed on the other side`. */
  words: z.string(),
  /** Measured over expected force that it would make, by side. */
  ratio: z.record(z.string(), z.number()),
  /** Largest |measured − predicted| over its standard uncertainty. */
  misfit: z.number(),
})

/** What stands beside the agreement of a zone with its geometry. */
export const comparison = z.object({
  /** What tells the expected tension. */
  reference: z.enum(['channel', 'typed']),
  /** Difference as % of expected. */
  percent: z.number().nullable(),
  /** (y − x)/√(U_y² + U_x²): for information, it never decides. */
  en: z.number().nullable(),
  /** Measured over expected force, by side; null where not told. */
  ratio: z.record(z.string(), z.number().nullable()),
  /** rad, as the neighbour stands now. */
  wrap: z.number(),
  /** m·v², N. */
  momentum: z.number(),
  /** Other web paths that fit the measured ratio; only while the agreement is outside. */
  candidates: z.array(pathCandidate),
})

export const zoneNow = z.object({
  zone: z.string(),
  /** Gateway time of this picture, epoch ms; ages are counted against it. */
  timeMs: z.number(),
  sides: z.object({ drive_side: sideNow, operator_side: sideNow }).or(z.object({ single: sideNow })),
  total: figure,
  /** `tension` when a force factor is known, else `force`. */
  totalMeans: z.enum(['tension', 'force']),
  /** The next four are absent for a zone without geometry. Tension that the reference tells, with what the geometry adds to its uncertainty. */
  expected: figure.optional(),
  /** Measured less expected, in newtons of web tension: judged. */
  agreement: figure.optional(),
  /** Absent too while nothing can be expected. */
  comparison: comparison.optional(),
  /** Drift of the agreement (measured less expected), % of expected an hour: judged. */
  driftOfResidual: figure.optional(),
  /** The next three are absent (not null) for a zone with one cell. */
  imbalance: figure.optional(),
  lineOfPull: figure.optional(),
  /** Drift of the side difference, in points per hour: judged. */
  driftOfSideDifference: figure.optional(),
  /** Rate of change of the total: for information, never judged (a set tension may change). */
  rateOfTotal: figure,
  /** Operator-side time minus drive-side time of the last frame. */
  skew: figure.optional(),
  steady: z.object({
    /**
     * `assumed`: the zone has no channel that tells. `unknown`: a channel that it has gives no good sample, so that
     * what needs steady running is shown and not judged; or no cell gives one.
     */
    state: z.enum(['steady', 'not-steady', 'assumed', 'unknown']),
    sentence: z.string(),
    /** Seconds the present window has been running. */
    forSeconds: z.number(),
  }),
  aux: z.object({ speed: live, roller_speed: live, reference: live, temperature: live, neighbour: live }).partial(),
})

export type VerdictState = z.infer<typeof verdictState>
export type VerdictReason = z.infer<typeof verdictReason>
export type Verdict = z.infer<typeof verdict>
export type FigureLimit = z.infer<typeof figureLimit>
export type FigureInput = z.infer<typeof figureInput>
export type Figure = z.infer<typeof figure>
export type Live = z.infer<typeof live>
export type SideNow = z.infer<typeof sideNow>
export type Comparison = z.infer<typeof comparison>
export type ZoneNow = z.infer<typeof zoneNow>
