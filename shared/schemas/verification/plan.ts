import { z } from 'zod'
import { sideName, testId, VERIFICATION_STAGES } from './test-ids.ts'

/** Something to type or choose. Ids are unique within a test, or within one of its captures. */
const planField = z.object({
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
const CAPTURE_GATES = [
  'still', // both signals stand still: machine stopped
  'steady', // steady running, by speed and set tension (by the signals where there are none)
  'movement', // a signal must move: a push, a step
  'any', // all that comes
] as const

/** A stretch of live signal that a test asks for. */
const planCapture = z.object({
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

const planTest = z.object({
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

const planStage = z.object({
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

export type PlanField = z.infer<typeof planField>
export type PlanCapture = z.infer<typeof planCapture>
export type PlanTest = z.infer<typeof planTest>
export type PlanStage = z.infer<typeof planStage>
export type VerificationPlan = z.infer<typeof verificationPlan>
