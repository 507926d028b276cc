import { z } from 'zod'
import { who } from './config-write.ts'
import { verdict, verdictState } from './now.ts'

/**
 * The proof of an install: a plan of tests that fits the zone, and a record that only grows.
 *
 * GET /api/zones/ID/verification-plan gives the plan. A record belongs to one zone; every entry carries who, when
 * and the hash of the entry before it, so that a later change of any of them shows. What a test was judged by stands
 * in its entry (values typed, captures with what the gateway made of them, figures with limits): a record can be read
 * years later without the program. SI but for what a technician measures: mm, degrees, as each unit says.
 */
export const VERIFICATION_STAGES = ['paper', 'fit', 'electric', 'known-weight', 'running', 'warm'] as const
export type VerificationStage = (typeof VERIFICATION_STAGES)[number]

export const sideName = z.enum(['drive_side', 'operator_side', 'single'])

/** STAGE.TEST; an id is kept in records and never reused for another test. */
export const TEST_IDS = [
  'paper.geometry',
  'paper.capacity',
  'paper.resolution',
  'paper.growth',
  'paper.arrow-target',
  'paper.live-zero',
  'fit.arrow-angle',
  'fit.end-clearance',
  'fit.free-play',
  'fit.bushing',
  'fit.clamps',
  'fit.bolts',
  'fit.level',
  'fit.spin-down',
  'fit.runout',
  'fit.nothing-touches',
  'fit.cables',
  'electric.bridge',
  'electric.insulation',
  'electric.excitation',
  'electric.shunt',
  'electric.channels',
  'electric.gravity',
  'electric.push',
  'electric.wiggle',
  'electric.cross-swap',
  'electric.drive-noise',
  'known-weight.series',
  'known-weight.off-centre',
  'known-weight.two-directions',
  'running.path',
  'running.points',
  'running.lines',
  'running.step',
  'running.neighbour',
  'warm.hold',
  'warm.zero-return',
  'warm.fingerprint',
] as const
export type TestId = (typeof TEST_IDS)[number]
export const testId = z.enum(TEST_IDS)

// --- the plan ----------------------------------------------------------------

/** Something to type or choose. Ids are unique within a test, or within one of its captures. */
export const planField = z.object({
  id: z.string(),
  label: z.string(),
  kind: z.enum(['number', 'yes-no', 'choice', 'text']),
  unit: z.string().nullable(),
  side: sideName.nullable(),
  required: z.boolean(),
  /** One line under the field: how to measure it, or what is usual. */
  hint: z.string().nullable(),
  choices: z.array(z.object({ value: z.string(), label: z.string() })).optional(),
  /** What is filled in until somebody types: from the config or the geometry. */
  preset: z.union([z.number(), z.string(), z.boolean()]).optional(),
})

/** What a capture waits for before it counts. */
export const CAPTURE_GATES = [
  'still', // both signals stand still: machine stopped
  'steady', // steady running, by speed and set tension (by the signals where there are none)
  'movement', // a signal must move: a push, a step
  'any', // all that comes
] as const

/** A stretch of live signal that a test asks for. */
export const planCapture = z.object({
  id: z.string(),
  label: z.string(),
  /** What to do while it is taken, one sentence. */
  instruction: z.string(),
  gate: z.enum(CAPTURE_GATES),
  /** Least length once the gate is open, s. */
  seconds: z.number(),
  side: sideName.nullable(),
  required: z.boolean(),
  /** How many of it the test wants at least; more may be taken. */
  times: z.int().min(1),
  /** Told with each one of it: mass on the rope, going up or down, speed. */
  fields: z.array(planField),
})

export const planTest = z.object({
  id: testId,
  stage: z.enum(VERIFICATION_STAGES),
  title: z.string(),
  /** What it proves, and what a bad result does: one line each. */
  proves: z.string(),
  effect: z.string(),
  /** Stands at the step, in one line; null where the stage's own says it all. */
  caution: z.string().nullable(),
  steps: z.array(z.string()),
  fields: z.array(planField),
  captures: z.array(planCapture),
  /** False: this zone has nothing to test here, for this reason. It is recorded so, never as passed. */
  applies: z.boolean(),
  reason: z.string().nullable(),
  /** Worked out from the config alone: nothing to type or to capture. */
  automatic: z.boolean(),
  /** Whether it is told apart as found and as left. */
  asFoundAsLeft: z.boolean(),
  /** What the limits are and where they come from: shown before the test is made. */
  limits: z.array(z.object({ text: z.string(), source: z.string() })),
})

export const planStage = z.object({
  id: z.enum(VERIFICATION_STAGES),
  title: z.string(),
  /** State the machine must be in, and the caution that belongs to it, deferring to site and maker. */
  machine: z.string(),
  caution: z.string(),
  tests: z.array(planTest),
})

export const verificationPlan = z.object({
  zone: z.string(),
  zoneName: z.string(),
  sides: z.array(sideName),
  /** Revision of the config it was made from. */
  revision: z.string(),
  stages: z.array(planStage),
  /** The pull of the web on each end, for the drawing at the push: direction of the resultant, rad ccw from downstream; null without geometry. */
  resultant: z.number().nullable(),
  /** Arrow to set, degrees ccw from downstream, and in words that do not mirror; null without geometry. */
  arrowTarget: z.object({ deg: z.number(), words: z.string() }).nullable(),
})

// --- captures ----------------------------------------------------------------

const told = z.object({ value: z.number(), u: z.number() })

/** What the page asks to have kept: a stretch of the zone's recorded signal. */
export const captureAsk = z.strictObject({
  key: z.uuid(),
  /** Id of the planCapture. */
  capture: z.string().min(1).max(60),
  fromMs: z.number().min(0).max(8.64e15),
  toMs: z.number().min(0).max(8.64e15),
  values: z.record(z.string().max(60), z.union([z.number(), z.string().max(500), z.boolean()])).default({}),
})

/** What one side did in a capture, out of its good samples alone; null where none was good. */
export const capturedSide = z.object({
  samples: z.int().min(0),
  good: z.int().min(0),
  /** Mean of the electrical value (mA, V, mV/V or counts) with its standard uncertainty, autocorrelation respected. */
  electrical: told.nullable(),
  electricalUnit: z.string(),
  /** Mean force along the arrow after the zero in force, N. */
  force: told.nullable(),
  min: z.number().nullable(),
  max: z.number().nullable(),
  /** Standard deviation after slow motion is removed, N; and the same peak to peak. */
  noise: z.number().nullable(),
  peakToPeak: z.number().nullable(),
  /** Distinct values among the good samples, and the smallest step between two, N. */
  distinct: z.int().min(0),
  step: z.number().nullable(),
  /** Share of samples at an end of the range, 0 to 1. */
  atEnd: z.number(),
  /** Samples that were bad, and in how many separate stretches. */
  bad: z.int().min(0),
  badStretches: z.int().min(0),
  /** Single samples far from their neighbours. */
  spikes: z.int().min(0),
})

export const capturedLine = z.object({
  side: z.string(),
  hertz: z.number(),
  amplitude: z.number(),
  u: z.number(),
  /** Kinds and names of what could make it, most likely first. */
  sources: z.array(z.string()),
})

/** A capture as the gateway keeps it: the stretch, protected in the store, and what came out of it. */
export const capture = captureAsk.extend({
  revision: z.string(),
  sides: z.partialRecord(sideName, capturedSide),
  /** Mean web tension (force along the arrows without a force factor), N; side difference, %; measured less expected, N. */
  total: told.nullable(),
  imbalance: told.nullable(),
  residual: told.nullable(),
  expected: told.nullable(),
  /** Means of what the zone reads beside its cells: m/s, N, °C, m, 1/s. */
  speed: told.nullable(),
  reference: told.nullable(),
  temperature: told.nullable(),
  neighbour: told.nullable(),
  rollerSpeed: told.nullable(),
  lines: z.array(capturedLine),
  /**
   * Where a signal moved: change of each side's force from before to after, N; when half of it was there, s from
   * `fromMs`; from a tenth to nine tenths of it, s, null where that was too fast to tell. null where nothing moved.
   */
  change: z.partialRecord(sideName, z.object({ by: told, atS: z.number(), riseS: z.number().nullable() }).nullable()),
  /** The picture, at most 400 points: seconds from `fromMs`, force of each side, null is a gap. */
  trace: z.object({
    t: z.array(z.number()),
    sides: z.partialRecord(sideName, z.array(z.number().nullable())),
  }),
})

// --- figures -----------------------------------------------------------------

/** A result with everything that it was judged by. A yes or no has `answer` and no value. */
export const recordFigure = z.object({
  /** Unique within a test together with `side` and `point`; kept in records and never reused for another quantity. */
  id: z.string(),
  title: z.string(),
  side: sideName.nullable(),
  /** Which of several points it belongs to: "120 m/min, 250 N". */
  point: z.string().nullable(),
  value: z.number().nullable(),
  unit: z.string(),
  answer: z.enum(['yes', 'no']).nullable(),
  u: z.number().nullable(),
  uRandom: z.number().nullable(),
  U: z.number().nullable(),
  k: z.number().nullable(),
  dof: z.number().nullable(),
  /** One end may be open. null: for information. */
  limit: z
    .object({ low: z.number().nullable(), high: z.number().nullable(), text: z.string(), source: z.string() })
    .nullable(),
  verdict,
  why: z.object({
    formula: z.string(),
    source: z.string(),
    inputs: z.array(
      z.object({ name: z.string(), value: z.number().nullable(), unit: z.string(), u: z.number().nullable() }),
    ),
  }),
})

// --- entries -----------------------------------------------------------------

export const testPhase = z.enum(['as-found', 'as-left'])
const values = z.record(z.string().max(60), z.union([z.number(), z.string().max(2000), z.boolean()]))
const key = z.uuid()

/** What a person adds: the body of POST /api/verifications/ID/entries. The same key again is the same entry. */
export const newEntry = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('result'),
    key,
    who,
    test: testId,
    phase: testPhase,
    values,
    captures: z.array(captureAsk).max(60),
  }),
  z.strictObject({ kind: z.literal('not-done'), key, who, test: testId, reason: z.string().trim().min(3).max(500) }),
  z.strictObject({
    kind: z.literal('note'),
    key,
    who,
    test: testId.nullable(),
    text: z.string().trim().min(1).max(2000),
  }),
  z.strictObject({
    kind: z.literal('photo'),
    key,
    who,
    test: testId.nullable(),
    caption: z.string().trim().max(200),
    mediaType: z.enum(['image/jpeg', 'image/png', 'image/webp']),
    /** base64 */
    data: z.string().min(1).max(4_000_000),
  }),
  /** After this only corrections and notes may follow. */
  z.strictObject({ kind: z.literal('signature'), key, who, name: z.string().trim().min(1).max(80) }),
  /** Says what is wrong with an entry before it; that entry stays as it is. */
  z.strictObject({
    kind: z.literal('correction'),
    key,
    who,
    of: z.int().positive(),
    text: z.string().trim().min(3).max(2000),
  }),
])

const chained = {
  /** 1, 2, 3 … within the record. */
  seq: z.int().positive(),
  key: z.string(),
  who: z.string(),
  /** Gateway time, epoch ms. */
  timeMs: z.number(),
  /** SHA-256, hex, of the entry before (of the head for the first) and of this one; see lib/verification/chain.ts. */
  previous: z.string(),
  hash: z.string(),
}

export const testResult = z.object({
  figures: z.array(recordFigure),
  /** Worst of the figures: outside, then unknown, undecided, inside; not-done where nothing could be judged. */
  state: verdictState,
  sentence: z.string(),
  /** What to look at when it is not inside, one line each. */
  hints: z.array(z.string()),
})

export const recordEntry = z.discriminatedUnion('kind', [
  z.object({
    ...chained,
    kind: z.literal('result'),
    test: testId,
    title: z.string(),
    phase: testPhase,
    /** Counts the results of this test, from 1. */
    attempt: z.int().positive(),
    values,
    captures: z.array(capture),
    result: testResult,
    /** Config in force, and version of the program that judged. */
    revision: z.string(),
    software: z.string(),
  }),
  z.object({ ...chained, kind: z.literal('not-done'), test: testId, title: z.string(), reason: z.string() }),
  z.object({ ...chained, kind: z.literal('note'), test: testId.nullable(), text: z.string() }),
  z.object({
    ...chained,
    kind: z.literal('photo'),
    test: testId.nullable(),
    caption: z.string(),
    mediaType: z.string(),
    bytes: z.int().positive(),
    /** SHA-256 of the picture, hex: the picture itself is kept beside the record. */
    sha256: z.string(),
  }),
  z.object({ ...chained, kind: z.literal('signature'), name: z.string() }),
  z.object({ ...chained, kind: z.literal('correction'), of: z.int().positive(), text: z.string() }),
])

/** What a record is about, fixed when it is begun. */
export const recordHead = z.object({
  format: z.literal('evenpull-verification/1'),
  id: z.string(),
  zone: z.string(),
  zoneName: z.string(),
  plant: z.string().nullable(),
  line: z.string().nullable(),
  title: z.string(),
  begunBy: z.string(),
  begunMs: z.number(),
  revision: z.string(),
  software: z.string(),
  /** The plan as it was then, so that what was not done can be told years later. */
  plan: verificationPlan,
  /** Zone, channels and devices as the config had them then: for the reader. */
  config: z.unknown(),
})

export const verificationRecord = z.object({
  head: recordHead,
  entries: z.array(recordEntry),
  /** Hash of the newest entry (of the head while there is none): the digest of the whole. */
  digest: z.string(),
  signed: z.boolean(),
})

export const newVerification = z.strictObject({ key, who, title: z.string().trim().min(1).max(120) })

export const verificationList = z.object({
  records: z.array(
    z.object({
      id: z.string(),
      zone: z.string(),
      title: z.string(),
      begunBy: z.string(),
      begunMs: z.number(),
      changedMs: z.number(),
      entries: z.int().min(0),
      signed: z.boolean(),
      digest: z.string(),
    }),
  ),
})

/** GET /api/verifications/ID/check: whether every hash holds and every photo is there, and where not. */
export const recordCheck = z.object({
  id: z.string(),
  whole: z.boolean(),
  entries: z.int().min(0),
  digest: z.string(),
  /** 0 is the head. */
  broken: z.array(z.object({ seq: z.int().min(0), what: z.string() })),
})

/** GET /api/verifications/ID/entries?after=SEQ */
export const entriesQuery = z.strictObject({ after: z.coerce.number().int().min(0).default(0) })
export const entryList = z.object({ entries: z.array(recordEntry), digest: z.string(), signed: z.boolean() })

/** POST /api/verifications/ID/preview: what a result would say, without keeping it. */
export const previewAsk = z.strictObject({
  test: testId,
  phase: testPhase,
  values,
  captures: z.array(captureAsk).max(60),
})
export const previewResult = z.object({ result: testResult, captures: z.array(capture) })

export type RecordCheck = z.infer<typeof recordCheck>
export type EntryList = z.infer<typeof entryList>
export type PlanField = z.infer<typeof planField>
export type PlanCapture = z.infer<typeof planCapture>
export type PlanTest = z.infer<typeof planTest>
export type PlanStage = z.infer<typeof planStage>
export type VerificationPlan = z.infer<typeof verificationPlan>
export type CaptureAsk = z.infer<typeof captureAsk>
export type CapturedSide = z.infer<typeof capturedSide>
export type Capture = z.infer<typeof capture>
export type RecordFigure = z.infer<typeof recordFigure>
export type TestPhase = z.infer<typeof testPhase>
export type TestResult = z.infer<typeof testResult>
export type TestValues = z.infer<typeof values>
export type NewEntry = z.infer<typeof newEntry>
export type RecordEntry = z.infer<typeof recordEntry>
export type RecordHead = z.infer<typeof recordHead>
export type VerificationRecord = z.infer<typeof verificationRecord>
export type NewVerification = z.infer<typeof newVerification>
export type VerificationList = z.infer<typeof verificationList>
export type PreviewAsk = z.infer<typeof previewAsk>
export type PreviewResult = z.infer<typeof previewResult>
