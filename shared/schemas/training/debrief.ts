import { z } from 'zod'
import { cause, trainingSide } from './common.ts'
import { trainingExercise, trainingFinding } from './exercise.ts'

/** A fault that was hidden, in the clear. */
export const trainingTruth = z.strictObject({
  cause,
  title: z.string(),
  zone: z.string(),
  side: trainingSide.nullable(),
  severity: z.number(),
  unit: z.string(),
  /** When it was there: `there from the start`, `grows within 30 min` … */
  onset: z.string(),
  /** All of it in a sentence. */
  words: z.string(),
  /** Ids of `remedies` that end it. */
  remedies: z.array(z.string()),
  /** A repair at the machine had ended it when the exercise closed. */
  mended: z.boolean(),
  by: z.enum(['exercise', 'instructor']),
})

/** One reading on the faulted machine beside the same on a sound twin of the same seed. */
const comparedReading = z.strictObject({
  figure: z.string(),
  side: trainingSide.nullable(),
  unit: z.string().nullable(),
  found: z.union([z.number(), z.boolean(), z.string()]),
  sound: z.union([z.number(), z.boolean(), z.string()]),
  /** Standard uncertainty of their difference; null for what is seen. */
  u: z.number().nullable(),
  /** The difference is more than 2 u, or what is seen is another. */
  differs: z.boolean(),
})

/** A test as it went, or would have gone, on both machines. */
const toldTest = z.strictObject({
  /** Id and name of the test (`push-drive-end`, `two-speeds`); of an act that was done and is no test: the act's. */
  id: z.string(),
  title: z.string(),
  zone: z.string(),
  /** Numbers of the deeds in which the trainee did it; empty: not done. */
  deeds: z.array(z.int()),
  verdict: z.enum(['told', 'could not tell', 'not possible']),
  /** Why it was not possible here; else null. */
  reason: z.string().nullable(),
  /** Of the test with what it needs from the state the line was found in, s. */
  seconds: z.number().nullable(),
  /** Those that differ first. */
  readings: z.array(comparedReading),
})

const pathStep = z.strictObject({
  act: z.string(),
  title: z.string(),
  zone: z.string(),
  args: z.record(z.string(), z.unknown()),
  seconds: z.number(),
  /** `test` tells; `way` brings the machine into the state for it. */
  purpose: z.enum(['way', 'test']),
})

/** The cheapest sequence of acts whose reading tells this fault from what looks like it. */
const shortestPath = z.strictObject({
  cause,
  side: trainingSide.nullable(),
  test: z.string(),
  steps: z.array(pathStep),
  seconds: z.number(),
})

const scoredFinding = z.strictObject({
  /** null: this one was not named. */
  finding: trainingFinding.nullable(),
  /** null: there was nothing like this. */
  truth: z.strictObject({ cause, zone: z.string(), side: trainingSide.nullable() }).nullable(),
  cause: z.boolean(),
  /** null where the cause has none. */
  side: z.boolean().nullable(),
  /** Another cause, but one that looks like it. */
  group: z.boolean(),
  /** Nothing that was done could tell it from what looks like it: rightly named, it was luck. */
  untold: z.boolean(),
  remedy: z.boolean(),
  words: z.string(),
})

export const trainingScore = z.strictObject({
  /** 0 to `most`: cause 4, side 2, remedy 2, of each fault; group instead of cause 2; nothing wrong 8. One off for each that was not there, for each unsafe try and each hint, never below 0. */
  points: z.int().min(0),
  most: z.int().positive(),
  findings: z.array(scoredFinding),
  words: z.string(),
})

export const trainingDebrief = z.strictObject({
  exercise: trainingExercise,
  endedMs: z.number(),
  seed: z.int(),
  truth: z.array(trainingTruth),
  answer: z.strictObject({ findings: z.array(trainingFinding), note: z.string() }).nullable(),
  score: trainingScore,
  time: z.strictObject({
    /** Of the acts, s. */
    used: z.number(),
    /** Of all shortest paths one after the other, s; null where nothing was hidden or nothing tells. */
    shortest: z.number().nullable(),
    /** By the clock on the wall, s. */
    wall: z.number(),
  }),
  /** Tries that were refused, with the reason; the unsafe ones are the first. */
  refusals: z.array(
    z.strictObject({
      number: z.int(),
      title: z.string(),
      reason: z.string(),
      unsafe: z.boolean(),
      atSeconds: z.number(),
    }),
  ),
  hints: z.strictObject({ taken: z.int(), of: z.int() }),
  /** What each test told and could have told. */
  tests: z.array(toldTest),
  /** One a fault that some test tells. */
  shortest: z.array(shortestPath),
  /** What the instructor changed meanwhile, in words. */
  changes: z.array(z.strictObject({ atMs: z.number(), words: z.string() })),
})

/** `working`: twins are being run; ask again. */
export const debriefAnswer = z.discriminatedUnion('state', [
  z.strictObject({ state: z.literal('working'), share: z.number().min(0).max(1) }),
  z.strictObject({ state: z.literal('ready'), debrief: trainingDebrief }),
  z.strictObject({ state: z.literal('failed'), reason: z.string() }),
])

export type TrainingTruth = z.infer<typeof trainingTruth>
export type ComparedReading = z.infer<typeof comparedReading>
export type ToldTest = z.infer<typeof toldTest>
export type PathStep = z.infer<typeof pathStep>
export type ShortestPath = z.infer<typeof shortestPath>
export type ScoredFinding = z.infer<typeof scoredFinding>
export type TrainingScore = z.infer<typeof trainingScore>
export type TrainingDebrief = z.infer<typeof trainingDebrief>
export type DebriefAnswer = z.infer<typeof debriefAnswer>
