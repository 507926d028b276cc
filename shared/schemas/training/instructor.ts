import { z } from 'zod'
import { cause, exerciseId, traineeName, trainingSide, zoneId } from './common.ts'
import { trainingTruth } from './debrief.ts'
import { trainingExercise } from './exercise.ts'
import { trainingResult } from './results.ts'

const trainingOnset = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('constant') }),
  /** s after it was put in. */
  z.strictObject({ kind: z.literal('sudden'), after_s: z.number().min(0).max(86_400) }),
  z.strictObject({
    kind: z.literal('growing'),
    after_s: z.number().min(0).max(86_400).default(0),
    over_s: z.number().positive().max(86_400),
  }),
  /** °C of the hall. */
  z.strictObject({ kind: z.literal('with-temperature'), from_c: z.number(), full_c: z.number() }),
  /** m/s of the line. */
  z.strictObject({ kind: z.literal('with-speed'), from_m_s: z.number().min(0), full_m_s: z.number().positive() }),
  /** Means of the times it is there and away, s. */
  z.strictObject({ kind: z.literal('intermittent'), on_s: z.number().positive(), off_s: z.number().positive() }),
])

export const hiddenFault = z.strictObject({
  fault: cause,
  zone: zoneId,
  side: trainingSide.nullable().default(null),
  /** In the fault's own unit. */
  severity: z.number(),
  onset: trainingOnset.default({ kind: 'constant' }),
})

/** GET /api/training/instructor/faults: what can be put in, with sizes that are met in practice. */
export const faultList = z.strictObject({
  faults: z.array(
    z.strictObject({
      id: cause,
      title: z.string(),
      oneSided: z.boolean(),
      unit: z.string(),
      least: z.number(),
      typical: z.number(),
      most: z.number(),
      /** Negative ones too. */
      eitherWay: z.boolean(),
      onsets: z.array(z.string()),
    }),
  ),
})

/** POST /api/training/instructor/exercise: begins one for a trainee, with chosen faults or a chosen seed. */
export const setExercise = z.union([
  z.strictObject({ trainee: traineeName, line: z.string().max(48), faults: z.array(hiddenFault).max(4) }),
  z.strictObject({
    trainee: traineeName,
    level: z.string().max(48),
    line: z.string().max(48).optional(),
    seed: z.int().min(0).max(0xffffffff),
  }),
])

/** POST /api/training/instructor/changes: at the machine of the exercise that is open. Answered by `instructorView`. */
export const instructorChange = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('put-in'), exercise: exerciseId, fault: hiddenFault }),
  z.strictObject({ do: z.literal('clear-faults'), exercise: exerciseId }),
  z.strictObject({ do: z.literal('speed'), exercise: exerciseId, speed_m_min: z.number().min(0).max(1500) }),
  z.strictObject({
    do: z.literal('tension'),
    exercise: exerciseId,
    zone: zoneId,
    tension_n: z.number().min(0).max(20_000),
  }),
  /** The line runs by its own programme again. */
  z.strictObject({ do: z.literal('programme'), exercise: exerciseId }),
])

/** GET /api/training/instructor */
export const instructorView = z.strictObject({
  exercise: trainingExercise.nullable(),
  seed: z.int().nullable(),
  faults: z.array(
    trainingTruth.extend({
      /** 0 to 1 of its severity now; hours for one whose severity is a rate. */
      level: z.number(),
    }),
  ),
  machine: z
    .strictObject({
      speedMMin: z.number(),
      hallC: z.number(),
      byHand: z.boolean(),
      /** Set and true web tension, N. */
      zones: z.record(z.string(), z.strictObject({ setN: z.number(), trueN: z.number() })),
    })
    .nullable(),
  changes: z.array(z.strictObject({ atMs: z.number(), words: z.string() })),
  trainees: z.array(z.string()),
})

/** GET /api/training/instructor/results?format=csv|json&trainee=NAME */
export const resultsQuery = z.strictObject({
  format: z.enum(['json', 'csv']).default('json'),
  trainee: traineeName.optional(),
})
export const trainingResults = z.strictObject({ results: z.array(trainingResult) })

/** Header that carries the instructor's key where nobody has to log in. */
export const INSTRUCTOR_KEY_HEADER = 'x-training-key'
/** Header in which the gateway tells the desk that whoever asks is logged in as an engineer. */
export const INSTRUCTOR_ROLE_HEADER = 'x-training-role'

export type HiddenFault = z.infer<typeof hiddenFault>
export type FaultList = z.infer<typeof faultList>
export type SetExercise = z.infer<typeof setExercise>
export type InstructorChange = z.infer<typeof instructorChange>
export type InstructorView = z.infer<typeof instructorView>
export type TrainingResults = z.infer<typeof trainingResults>
