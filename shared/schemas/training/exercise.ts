import { z } from 'zod'
import { cause, exerciseId, machineCondition, traineeName, trainingReading, trainingSide, zoneId } from './common.ts'

/** One line of what was done, or was not allowed to be. */
export const trainingDeed = z.strictObject({
  /** From 1. */
  number: z.int().positive(),
  act: z.string(),
  title: z.string(),
  zone: z.string(),
  args: z.record(z.string(), z.unknown()),
  /** Seconds it cost; a refused one costs none. */
  seconds: z.number(),
  /** The machine's time after it, s. */
  atSeconds: z.number(),
  atMs: z.number(),
  /** Why it was not done; `unsafe`: somebody could have been hurt by it. */
  refused: z.strictObject({ reason: z.string(), unsafe: z.boolean() }).nullable(),
  /** What there was to see; null for a refused one. */
  words: z.string().nullable(),
  readings: z.array(trainingReading),
})

const trainingTally = z.strictObject({
  /** Of all that was done, s. */
  seconds: z.number(),
  done: z.int(),
  refused: z.int(),
  unsafe: z.int(),
})

/** The training machine had ended while an exercise was open, and has taken it up again. */
export const takenUp = z.strictObject({
  /** The last that is known of it before, epoch ms. */
  lastMs: z.number(),
  atMs: z.number(),
})

export const trainingExercise = z.strictObject({
  id: exerciseId,
  trainee: z.string(),
  /** `set`: put together by the instructor. */
  kind: z.enum(['lesson', 'level', 'set']),
  lesson: z.string().nullable(),
  level: z.string().nullable(),
  line: z.string(),
  title: z.string(),
  /** What the trainee is told. */
  task: z.string(),
  zones: z.array(z.string()),
  startedMs: z.number(),
  state: z.enum(['open', 'handed-in', 'given-up']),
  mostFaults: z.int(),
  mayBeNothing: z.boolean(),
  hints: z.strictObject({ given: z.array(z.string()), left: z.int() }),
  /** By zone. */
  conditions: z.record(z.string(), machineCondition),
  /** The machine's time, s since the exercise began. */
  machineSeconds: z.number(),
  tally: trainingTally,
  deeds: z.array(trainingDeed),
  /** Each time that it was; of a version before there are none. */
  takenUp: z.array(takenUp).default([]),
})

/** GET /api/training/exercise: the one that is open; null: none. */
export const openExercise = z.strictObject({ exercise: trainingExercise.nullable() })

/** POST /api/training/exercise: a fresh machine. Either a lesson, or a level (on a line, or on one drawn). */
export const startExercise = z.union([
  z.strictObject({ trainee: traineeName, lesson: z.string().max(48) }),
  z.strictObject({ trainee: traineeName, level: z.string().max(48), line: z.string().max(48).optional() }),
])

/** POST /api/training/exercise/acts. Answered by the deed (refused or done) and the exercise after it. */
export const doAct = z.strictObject({
  exercise: exerciseId,
  act: z.string().max(48),
  zone: zoneId,
  args: z.record(z.string().max(48), z.unknown()).default({}),
})
export const actOutcome = z.strictObject({ deed: trainingDeed, exercise: trainingExercise })

/** POST /api/training/exercise/hint and …/give-up. Both are answered by the exercise. */
export const ofExercise = z.strictObject({ exercise: exerciseId })

export const trainingFinding = z.strictObject({
  cause,
  /** null where the cause sits on no side of its own. */
  side: trainingSide.nullable().default(null),
  zone: zoneId,
  /** An id of `remedies`; null: not known. */
  remedy: z.string().max(48).nullable().default(null),
})

/** POST /api/training/exercise/answer: hands in; no finding says that nothing is wrong. Answered by the exercise. */
export const handIn = z.strictObject({
  exercise: exerciseId,
  findings: z.array(trainingFinding).max(4),
  note: z.string().max(2000).default(''),
})

export type TrainingDeed = z.infer<typeof trainingDeed>
export type TakenUp = z.infer<typeof takenUp>
export type TrainingExercise = z.infer<typeof trainingExercise>
export type StartExercise = z.infer<typeof startExercise>
export type DoAct = z.infer<typeof doAct>
export type ActOutcome = z.infer<typeof actOutcome>
export type TrainingFinding = z.infer<typeof trainingFinding>
export type HandIn = z.infer<typeof handIn>
