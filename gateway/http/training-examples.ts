import type {
  ActOutcome,
  DebriefAnswer,
  DoAct,
  FaultList,
  HandIn,
  InstructorChange,
  InstructorView,
  SetExercise,
  TrainingActs,
  TrainingCatalogue,
  TrainingDeed,
  TrainingExercise,
  TrainingProgress,
  TrainingResult,
  TrainingResults,
  TrainingTruth,
} from '../../shared/schemas/training.ts'

/** An exercise of an invented trainee, for the OpenAPI document. */
const id = '3f0c6a52-8a58-4c11-9f0b-4d1f1c0a7e21'
const ZONE = 'laminator-outfeed'
const startedMs = 1_760_000_000_000

const deed: TrainingDeed = {
  number: 1,
  act: 'measure-arrow',
  title: 'Measure a load arrow with the inclinometer',
  zone: ZONE,
  args: { side: 'drive_side' },
  seconds: 0,
  atSeconds: 42.1,
  atMs: startedMs + 42_100,
  refused: { reason: 'the machine is stopped but not locked out: it could start; lock it out first', unsafe: true },
  words: null,
  readings: [],
}

export const exercise: TrainingExercise = {
  id,
  trainee: 'A. Fitter',
  kind: 'lesson',
  lesson: 'push',
  level: null,
  line: 'install',
  title: 'Push both ends',
  task: 'A laminator was wired yesterday. One side falls when the web is pulled tight.',
  zones: [ZONE],
  startedMs,
  state: 'open',
  mostFaults: 1,
  mayBeNothing: false,
  hints: { given: [], left: 3 },
  conditions: {
    [ZONE]: {
      power: 'stopped',
      guards: 'closed',
      driveEnabled: false,
      web: 'slack',
      roller: 'on the cells',
      loads: [],
    },
  },
  machineSeconds: 42.1,
  tally: { seconds: 0, done: 0, refused: 1, unsafe: 1 },
  deeds: [deed],
  takenUp: [{ lastMs: startedMs + 43_000, atMs: startedMs + 400_000 }],
}

export const outcome: ActOutcome = { deed, exercise }
export const sentAct: DoAct = { exercise: id, act: 'measure-arrow', zone: ZONE, args: { side: 'drive_side' } }

export const catalogue: TrainingCatalogue = {
  lines: [{ id: 'install', title: 'Laminator: freshly fitted', zones: [ZONE] }],
  levels: [
    { id: 'one-clear', title: 'One clear fault', about: 'One thing is wrong.', mostFaults: 1, mayBeNothing: false },
  ],
  lessons: [
    {
      id: 'push',
      title: 'Push both ends',
      teaches: 'A push the way the web pulls must raise the side that is pushed.',
      line: 'install',
      task: exercise.task,
      hints: 3,
    },
  ],
  causes: [{ id: 'polarity-reversed', title: 'Signal leads of one cell exchanged', oneSided: true }],
  remedies: [{ id: 'swap-leads', title: 'Exchange the two signal leads of a cell' }],
}

export const acts: TrainingActs = {
  acts: [
    {
      id: deed.act,
      title: deed.title,
      group: 'fit',
      seconds: 90,
      caution: 'Locked out: the inclinometer lies at the shaft end.',
      needs: { power: ['locked out'], guards: 'open' },
      args: [
        {
          name: 'side',
          title: 'Side',
          kind: 'choice',
          unit: null,
          least: null,
          most: null,
          choices: [
            { value: 'drive_side', title: 'Drive side' },
            { value: 'operator_side', title: 'Operator side' },
          ],
          required: true,
          standard: null,
        },
      ],
    },
  ],
}

const finding = { cause: 'polarity-reversed', side: 'operator_side', zone: ZONE, remedy: 'swap-leads' } as const
export const sentAnswer: HandIn = { exercise: id, findings: [finding], note: '' }

export const working: DebriefAnswer = { state: 'working', share: 0.4 }

const truth: TrainingTruth = {
  cause: 'polarity-reversed',
  title: 'Signal leads of one cell exchanged',
  zone: ZONE,
  side: 'operator_side',
  severity: 1,
  unit: 'present',
  onset: 'there from the start',
  words: 'Signal leads of one cell exchanged, operator side, there from the start.',
  remedies: ['swap-leads', 'replace-cable'],
  mended: false,
  by: 'exercise',
}

const result: TrainingResult = {
  exercise: id,
  trainee: exercise.trainee,
  kind: 'lesson',
  lesson: 'push',
  level: null,
  line: 'install',
  startedMs,
  endedMs: startedMs + 900_000,
  ended: 'handed-in',
  truth: [{ cause: truth.cause, zone: ZONE, side: truth.side }],
  answer: [finding],
  points: 7,
  most: 8,
  found: true,
  seconds: 812,
  shortestSeconds: 419,
  unsafe: 1,
  refused: 1,
  hints: 0,
  changes: 0,
}
export const results: TrainingResults = { results: [result] }
export const progress: TrainingProgress = { trainee: exercise.trainee, lessonsDone: ['push'], results: [result] }

export const instructor: InstructorView = {
  exercise,
  seed: 101,
  faults: [{ ...truth, level: 1 }],
  machine: { speedMMin: 0, hallC: 21.5, byHand: false, zones: { [ZONE]: { setN: 0, trueN: 0 } } },
  changes: [],
  trainees: [exercise.trainee],
}

export const faults: FaultList = {
  faults: [
    {
      id: 'gain-one-side',
      title: 'Gain wrong on one side',
      oneSided: true,
      unit: '%',
      least: 0.5,
      typical: 5,
      most: 60,
      eitherWay: true,
      onsets: ['constant', 'sudden', 'growing'],
    },
  ],
}

const fault = {
  fault: 'gain-one-side',
  zone: ZONE,
  side: 'drive_side',
  severity: 12,
  onset: { kind: 'constant' },
} as const
export const sentSet: SetExercise = { trainee: exercise.trainee, line: 'install', faults: [fault] }
export const sentChange: InstructorChange = { do: 'put-in', exercise: id, fault }
