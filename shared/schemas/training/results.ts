import { z } from 'zod'
import { cause, exerciseId, traineeName, trainingSide } from './common.ts'
import { trainingFinding } from './exercise.ts'

/** A finished exercise in one line. */
export const trainingResult = z.strictObject({
  exercise: exerciseId,
  trainee: z.string(),
  kind: z.enum(['lesson', 'level', 'set']),
  lesson: z.string().nullable(),
  level: z.string().nullable(),
  line: z.string(),
  startedMs: z.number(),
  endedMs: z.number(),
  ended: z.enum(['handed-in', 'given-up']),
  truth: z.array(z.strictObject({ cause, zone: z.string(), side: trainingSide.nullable() })),
  answer: z.array(trainingFinding).nullable(),
  /** null while the debrief is still being worked out. */
  points: z.int().nullable(),
  most: z.int(),
  /** Found: every cause and side named, and nothing that was not there. */
  found: z.boolean(),
  seconds: z.number(),
  shortestSeconds: z.number().nullable(),
  unsafe: z.int(),
  refused: z.int(),
  hints: z.int(),
  /** Changes by the instructor while it was open. */
  changes: z.int(),
})

/** GET /api/training/progress?trainee=NAME */
export const progressQuery = z.strictObject({ trainee: traineeName })
export const trainingProgress = z.strictObject({
  trainee: z.string(),
  /** Lessons whose fault was found. */
  lessonsDone: z.array(z.string()),
  /** Newest first. */
  results: z.array(trainingResult),
})

export type TrainingResult = z.infer<typeof trainingResult>
export type TrainingProgress = z.infer<typeof trainingProgress>
