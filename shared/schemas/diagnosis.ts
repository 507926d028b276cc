import { z } from 'zod'
import { FAULT_IDS } from '../faults.ts'
import { finite, notNegative } from './compute-numbers.ts'
import { sideName, testId } from './verification/test-ids.ts'

/**
 * What could be wrong, ranked: POST /api/compute/diagnosis takes what was measured and gives causes with their
 * probabilities, what speaks for and against each, what is missing, and the test to make next.
 *
 * A feature is one measured quantity with its standard uncertainty. What was not measured, or could not be told, is left
 * out: it is missing, never zero. The catalogue with units and meanings is `lib/diagnosis/features.ts`.
 */
export const FEATURE_IDS = [
  // a running web, told by a zone at any time
  'alive', // yes: good samples come
  'in-band', // yes: no sample at an end of the range
  'moves', // yes: the value changes while the other side's does
  'reads-negative', // yes: the signal is below its zero while the web pulls
  'agreement-now', // % of expected, mean of both sides, at one tension
  'imbalance-now', // %, (OS − DS)/(OS + DS), at one tension
  'noise', // % of the side's force, 1 σ
  'saturated-share', // % of samples at an end of the range
  'distinct-values', // count in a capture or window
  'spikes', // single samples far off, per 1000
  'bad-stretches', // stretches of bad samples in a capture or hour
  'once-per-turn', // % of the side's force, amplitude
  'mains-running', // % of span, amplitude, web running
  'neighbour-line', // % of the side's force, amplitude
  'turn-ratio', // measured turn rate over v/(πD)
  // a shift
  'drift-residual', // % of expected an hour
  'drift-side-difference', // points an hour
  'span-drift', // %/h, of the ratio alone
  'zero-drift', // % of span an hour, of a side with a slack web
  'zero-step', // % of span, a side's zero after less before a step
  'steps', // count of level steps in a shift
  'temperature-effect', // residual, %/K
  'temperature-difference', // side difference, points/K
  'zero-with-temperature', // % of span/K, of a side
  'tension-change', // %, measured total against an earlier stretch
  'reference-change', // %, reference against the same stretch
  // a running web at two speeds and two tensions, a step
  'slope-common', // %, mean of both sides' slopes of measured over expected, less 1
  'slope-difference', // %, half of (OS − DS): what it puts into the side difference
  'offset', // % of span, of a side: what is left where nothing is expected
  'speed-effect', // % of m v²
  'speed-exponent', // of the once-per-turn line
  'step-opposed', // yes: the sides move against one another
  'step-delay', // ms, operator side after drive side
  'rise-ratio', // rise time of the operator side over the drive side
  'rise', // s
  'core-full-change', // %
  'path-as-drawn', // yes
  // hands and instruments, stopped
  'arrow-error', // °, inclinometer, off the target, + leaning downstream
  'arrow-from-rope', // °, from two rope directions
  'gravity-error', // % of the side's share of the roller's weight: measured less predicted component
  'zero-balance', // % of rated output, off the certificate
  'push-mapped', // yes: the pushed end's own channel moved
  'push-falls', // yes: it fell
  'weight-common', // %, gain error, mean of both sides
  'weight-difference', // %, side difference with a centred known weight
  'nonlinearity', // % of span
  'hysteresis', // % of span
  'repeatability', // % of span
  'weight-zero-return', // % of span, after the known weights
  'off-centre-slope', // movement of the difference over 2F/L
  'sum-change', // %, of the sum when the weight moves sideways
  'shunt-error', // %
  'bridge-error', // % off the middle of what the certificate allows, output resistance
  'bridge-input-error', // the same, input resistance
  'insulation', // MΩ
  'excitation-error', // % off its set value
  'static-noise', // % of span, 1 σ, standing still
  'static-slope', // % of span an hour, standing still
  'static-mains', // % of span, amplitude, standing still
  'static-distinct', // count of distinct values standing still
  'drive-noise-ratio', // noise with the drive enabled over without, no web
  'wiggle-spikes', // count
  'wiggle-bad', // bad stretches while moved
  'follows-channel', // yes: it stayed with the channel when the cells were exchanged
  'follows-cell', // yes: it went with the cell
  'end-clearance', // mm
  'growth-margin', // mm
  'free-play', // yes
  'bushing-flush', // yes
  'clamps-crosswise', // yes
  'bolts-tight', // yes
  'nothing-touches', // yes
  'cables-seated', // yes
  'spins-free', // yes
  'runout', // mm
  'zero-return', // % of span, warm, after stop
] as const
export type FeatureId = (typeof FEATURE_IDS)[number]

const featureSource = z.union([testId, z.enum(['live', 'shift', 'spectrum'])])

/** One measured quantity. Yes is 1 and no is 0, both with u = 0. */
export const diagnosisFeature = z.strictObject({
  id: z.enum(FEATURE_IDS),
  side: sideName.nullable(),
  value: finite,
  /** Standard uncertainty, same unit. */
  u: notNegative,
  source: featureSource,
  /** The limit it was judged by, in words; null without one. */
  limit: z.string().max(200).nullable().default(null),
})

/** What the predictions need to know of the zone. null: not known, and what needs it predicts nothing there. */
export const diagnosisContext = z.strictObject({
  sides: z.array(sideName).min(1).max(2),
  /** Target of the arrows, degrees counter-clockwise from downstream (90 is up). */
  arrowTargetDeg: finite.nullable().default(null),
  wrapDeg: finite.nullable().default(null),
  /** m v² at the usual speed, % of the usual tension. */
  momentumPercent: finite.nullable().default(null),
  /** A side's share of the weight on the cells, and its force from bare roller to the largest tension, N. */
  weightN: finite.nullable().default(null),
  spanN: finite.nullable().default(null),
  /** Usual force of the web on one side, % of span. */
  usualPercentOfSpan: finite.nullable().default(null),
  /** Measured over expected force, less 1, %, that other web paths would make. */
  otherPathsPercent: z.array(finite).max(20).default([]),
  /** What is expected rests on a typed tension, not on a channel that measures it. */
  referenceIsTyped: z.boolean().default(false),
})

/** A feature that the present sampling cannot see, and why: that nothing of it shows is no reading of it. */
const unseenFeature = z.strictObject({ feature: z.enum(FEATURE_IDS), sentence: z.string().max(600) })

export const diagnosisRequest = z.strictObject({
  features: z.array(diagnosisFeature).max(400),
  unseen: z.array(unseenFeature).max(20).optional(),
  context: diagnosisContext,
})

const CAUSE_IDS = [...FAULT_IDS, 'healthy', 'unknown'] as const
const causeId = z.enum(CAUSE_IDS)
export type CauseId = (typeof CAUSE_IDS)[number]

const evidenceLine = z.object({
  feature: z.enum(FEATURE_IDS),
  side: sideName.nullable(),
  /** ln of how much likelier the reading is with this cause than at a healthy install; > 0 speaks for it. */
  weight: z.number(),
  /** With numbers, units and uncertainty. */
  sentence: z.string(),
})

const missingLine = z.object({
  feature: z.enum(FEATURE_IDS),
  side: sideName.nullable(),
  /** Tests that would tell it. */
  tests: z.array(testId),
  sentence: z.string(),
})

const severity = z.object({
  /** Posterior mean and the central 95 %. */
  value: z.number(),
  low: z.number(),
  high: z.number(),
  unit: z.string(),
  name: z.string(),
})

const rankedCause = z.object({
  cause: causeId,
  side: sideName.nullable(),
  title: z.string(),
  /** Plain words: what it is. */
  words: z.string(),
  source: z.string(),
  probability: z.number(),
  prior: z.number(),
  /**
   * Probability that it is there besides the cause that counts as found; null before one does, and where nothing that
   * one leaves unexplained speaks for it (3 to 1).
   */
  beside: z.number().nullable(),
  severity: severity.nullable(),
  /** Evidence and what is missing stand with the likeliest 16; the others come with their share alone. */
  for: z.array(evidenceLine),
  against: z.array(evidenceLine),
  missing: z.array(missingLine),
  /** One line, deferring to site and maker; null for healthy and unknown. */
  remedy: z.string().nullable(),
})

/** Causes that what is known cannot tell apart: none of them is claimed above its share of the group. */
const causeGroup = z.object({
  members: z.array(z.object({ cause: causeId, side: sideName.nullable() })),
  probability: z.number(),
  sentence: z.string(),
})

const nextTest = z.object({
  test: testId,
  title: z.string(),
  /** Expected information about the cause, bits. */
  bits: z.number(),
  minutes: z.number(),
  caution: z.string().nullable(),
  sentence: z.string(),
})

/** Above which size this cause would have been found with what is known; null: not at any size it can have. */
const threshold = z.object({
  cause: causeId,
  side: sideName.nullable(),
  value: z.number().nullable(),
  unit: z.string(),
  sentence: z.string(),
})

export const diagnosis = z.object({
  /** `cause`: one stands out. `group`: several that cannot be told apart. `combination`: two at once. */
  state: z.enum(['healthy', 'cause', 'group', 'combination', 'unknown', 'no-data']),
  sentence: z.string(),
  /**
   * Probabilities, as the one cause, sum to 1 over all of them. Most likely first, what is likely besides the first one
   * by that.
   */
  causes: z.array(rankedCause),
  groups: z.array(causeGroup),
  /** Two causes together that explain far better than one; null when one does. */
  combination: z
    .object({
      members: z.array(z.object({ cause: causeId, side: sideName.nullable() })),
      /** ln of how much better than the best single cause, priors counted. */
      weight: z.number(),
      sentence: z.string(),
    })
    .nullable(),
  nextTests: z.array(nextTest),
  /** Once a cause counts as found: what would show a second one; `bits` tell about that. null before. */
  more: z
    .object({
      /** That nothing else is wrong, given that cause. */
      nothing: z.number(),
      sentence: z.string(),
      tests: z.array(nextTest),
    })
    .nullable(),
  thresholds: z.array(threshold),
  features: z.int(),
})

export type UnseenFeature = z.infer<typeof unseenFeature>
export type DiagnosisFeature = z.infer<typeof diagnosisFeature>
export type DiagnosisContext = z.infer<typeof diagnosisContext>
export type DiagnosisRequestInput = z.input<typeof diagnosisRequest>
export type DiagnosisRequest = z.output<typeof diagnosisRequest>
export type EvidenceLine = z.infer<typeof evidenceLine>
export type MissingLine = z.infer<typeof missingLine>
export type RankedCause = z.infer<typeof rankedCause>
export type CauseGroup = z.infer<typeof causeGroup>
export type NextTest = z.infer<typeof nextTest>
export type Threshold = z.infer<typeof threshold>
export type Diagnosis = z.infer<typeof diagnosis>
