import { z } from 'zod'
import { FAULT_IDS } from '../faults.ts'

/**
 * What page, gateway and training desk say to one another. The desk lives in the simulator's process, which alone knows
 * what is hidden; the gateway hands requests on. Everything a trainee gets before the debrief is `trainingExercise`: it
 * has no place for a hidden fault. Times are epoch ms (`…Ms`) or seconds of the machine's own time (`…Seconds`).
 */

// --- words in common --------------------------------------------------------------------------------------------

/** A person learning, as he writes himself: free text of one line. */
export const traineeName = z
  .string()
  .trim()
  .min(1, 'say who you are')
  .max(80)
  .refine((name) => !/[\p{Cc}\p{Cs}\p{Zl}\p{Zp}]/u.test(name), 'one line, without control characters')

export const trainingSide = z.enum(['drive_side', 'operator_side'])
const cause = z.enum(FAULT_IDS)
const exerciseId = z.uuid()
const zoneId = z.string().min(1).max(48)

/** Something measured or seen: in its unit with its standard uncertainty u in the same unit. */
export const trainingReading = z.strictObject({
  /** What it is (`end-clearance`); `signal`, `noise`, `turn-line` … are what the instruments of Live show after an act. */
  figure: z.string(),
  side: trainingSide.nullable(),
  value: z.union([z.number(), z.boolean(), z.string()]),
  /** null for what has none. */
  unit: z.string().nullable(),
  /** null for what is seen and not measured; 0 for what is set and read. */
  u: z.number().nullable(),
})

/** State of the machine at a zone, as a technician sees it. */
export const machineCondition = z.strictObject({
  power: z.enum(['running', 'stopped', 'locked out']),
  guards: z.enum(['closed', 'open']),
  driveEnabled: z.boolean(),
  web: z.enum(['tight', 'slack', 'off']),
  roller: z.enum(['on the cells', 'lifted off']),
  loads: z.array(z.enum(['push', 'weight', 'hand at a cable'])),
})

/** The state an act asks for; what is left out does not matter. */
export const actNeeds = z.strictObject({
  power: z.array(z.enum(['running', 'stopped', 'locked out'])).optional(),
  guards: z.enum(['closed', 'open']).optional(),
  driveEnabled: z.boolean().optional(),
  web: z.array(z.enum(['tight', 'slack', 'off'])).optional(),
  roller: z.enum(['on the cells', 'lifted off']).optional(),
  /** Nothing pushed, nothing hung on. */
  free: z.boolean().optional(),
})

// --- GET /api/training ------------------------------------------------------------------------------------------

/** What there is to choose from. */
export const trainingCatalogue = z.strictObject({
  /** Invented lines; `zones` are those of the config while the line is set up. */
  lines: z.array(z.strictObject({ id: z.string(), title: z.string(), zones: z.array(z.string()) })),
  /** From one clear fault to two masked ones, easiest first. */
  levels: z.array(
    z.strictObject({
      id: z.string(),
      title: z.string(),
      about: z.string(),
      /** Most faults there may be; with `mayBeNothing` also none. */
      mostFaults: z.int(),
      mayBeNothing: z.boolean(),
    }),
  ),
  /** The track, in its order. */
  lessons: z.array(
    z.strictObject({
      id: z.string(),
      title: z.string(),
      /** The one thing of the trade it teaches. */
      teaches: z.string(),
      line: z.string(),
      /** What the trainee is told at the start. */
      task: z.string(),
      hints: z.int(),
    }),
  ),
  /** Choices of an answer: every cause there is, whatever is hidden. */
  causes: z.array(z.strictObject({ id: cause, title: z.string(), oneSided: z.boolean() })),
  remedies: z.array(z.strictObject({ id: z.string(), title: z.string() })),
})

// --- GET /api/training/acts -------------------------------------------------------------------------------------

/** One argument of an act, for a field of a form. */
export const actArgument = z.strictObject({
  name: z.string(),
  title: z.string(),
  /** `direction`: degrees, or the words in `choices`. `rope`: 'web', or an object { arriving_deg, leaving_deg }. */
  kind: z.enum(['number', 'choice', 'direction', 'rope']),
  /** Of a number; null for what has none. */
  unit: z.string().nullable(),
  least: z.number().nullable(),
  most: z.number().nullable(),
  choices: z.array(z.strictObject({ value: z.string(), title: z.string() })),
  required: z.boolean(),
  /** Taken when it is left out; null: none. */
  standard: z.union([z.number(), z.string()]).nullable(),
})

export const trainingAct = z.strictObject({
  id: z.string(),
  title: z.string(),
  /** Where it stands in the list: at the controls, web and roller, loads by hand, fit, cables and amplifier. */
  group: z.enum(['controls', 'web', 'loads', 'fit', 'cables']),
  /** What it costs, s; what depends on its arguments (ramps, waiting) comes on top. */
  seconds: z.number(),
  caution: z.string().nullable(),
  needs: actNeeds,
  args: z.array(actArgument),
})
export const trainingActs = z.strictObject({ acts: z.array(trainingAct) })

// --- the exercise, as its trainee sees it -----------------------------------------------------------------------

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

export const trainingTally = z.strictObject({
  /** Of all that was done, s. */
  seconds: z.number(),
  done: z.int(),
  refused: z.int(),
  unsafe: z.int(),
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
})

/** GET /api/training/exercise: the one that is open; null: none. */
export const openExercise = z.strictObject({ exercise: trainingExercise.nullable() })

// --- what a trainee sends ---------------------------------------------------------------------------------------

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

// --- GET /api/training/debriefs/ID ------------------------------------------------------------------------------

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
export const comparedReading = z.strictObject({
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
export const toldTest = z.strictObject({
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

export const pathStep = z.strictObject({
  act: z.string(),
  title: z.string(),
  zone: z.string(),
  args: z.record(z.string(), z.unknown()),
  seconds: z.number(),
  /** `test` tells; `way` brings the machine into the state for it. */
  purpose: z.enum(['way', 'test']),
})

/** The cheapest sequence of acts whose reading tells this fault from what looks like it. */
export const shortestPath = z.strictObject({
  cause,
  side: trainingSide.nullable(),
  test: z.string(),
  steps: z.array(pathStep),
  seconds: z.number(),
})

export const scoredFinding = z.strictObject({
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

// --- progress and results ---------------------------------------------------------------------------------------

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

// --- the instructor ---------------------------------------------------------------------------------------------

export const trainingOnset = z.discriminatedUnion('kind', [
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

export type TrainingSide = z.infer<typeof trainingSide>
export type TrainingReading = z.infer<typeof trainingReading>
export type TrainingCatalogue = z.infer<typeof trainingCatalogue>
export type ActArgument = z.infer<typeof actArgument>
export type TrainingAct = z.infer<typeof trainingAct>
export type TrainingActs = z.infer<typeof trainingActs>
export type TrainingDeed = z.infer<typeof trainingDeed>
export type TrainingTally = z.infer<typeof trainingTally>
export type TrainingExercise = z.infer<typeof trainingExercise>
export type OpenExercise = z.infer<typeof openExercise>
export type StartExercise = z.infer<typeof startExercise>
export type DoAct = z.infer<typeof doAct>
export type ActOutcome = z.infer<typeof actOutcome>
export type TrainingFinding = z.infer<typeof trainingFinding>
export type HandIn = z.infer<typeof handIn>
export type TrainingTruth = z.infer<typeof trainingTruth>
export type ComparedReading = z.infer<typeof comparedReading>
export type ToldTest = z.infer<typeof toldTest>
export type PathStep = z.infer<typeof pathStep>
export type ShortestPath = z.infer<typeof shortestPath>
export type ScoredFinding = z.infer<typeof scoredFinding>
export type TrainingScore = z.infer<typeof trainingScore>
export type TrainingDebrief = z.infer<typeof trainingDebrief>
export type DebriefAnswer = z.infer<typeof debriefAnswer>
export type TrainingResult = z.infer<typeof trainingResult>
export type TrainingProgress = z.infer<typeof trainingProgress>
export type HiddenFault = z.infer<typeof hiddenFault>
export type FaultList = z.infer<typeof faultList>
export type SetExercise = z.infer<typeof setExercise>
export type InstructorChange = z.infer<typeof instructorChange>
export type InstructorView = z.infer<typeof instructorView>
export type TrainingResults = z.infer<typeof trainingResults>
