import type { z } from 'zod'
import type { Need } from '../../../shared/roles.ts'
import {
  actOutcome,
  debriefAnswer,
  doAct,
  faultList,
  handIn,
  INSTRUCTOR_KEY_HEADER,
  instructorChange,
  instructorView,
  ofExercise,
  openExercise,
  progressQuery,
  resultsQuery,
  setExercise,
  startExercise,
  trainingActs,
  trainingCatalogue,
  trainingExercise,
  trainingProgress,
  trainingResults,
} from '../../../shared/schemas/training.ts'
import { resultsCsv } from '../../training/results-csv.ts'
import type { TrainingAsk } from '../../training/training-link.ts'
import { defineRoute, noQuery } from '../define-route.ts'
import { type PathParameter, type Route, type RouteInput, WithHeaders } from '../route.ts'
import * as example from '../training-examples.ts'

const MOST_BYTES = 16 * 1024

const OFF = { 404: 'There is no training machine behind this gateway.', 502: 'The training machine does not answer.' }
const NOT_NOW = { ...OFF, 409: 'The exercise does not allow it now.' }
const KEY = { ...OFF, 403: 'Not an engineer, or without log-in: the instructor’s key is missing or wrong.' }

type Input = Pick<RouteInput<unknown>, 'sources' | 'caller' | 'header'>

/** An engineer who is logged in is an instructor; where nobody logs in, whoever has the key. */
function instructorOf({ caller, header }: Input): TrainingAsk['instructor'] {
  return caller.kind === 'user' ? 'engineer' : { key: header(INSTRUCTOR_KEY_HEADER) }
}

interface Told {
  readonly description: string
  readonly schema: z.ZodType
  readonly example: unknown
}

interface Asked {
  readonly path: string
  readonly summary: string
  readonly told: Told
  readonly needs?: Need
  readonly refusals?: Readonly<Record<number, string>>
  readonly perSecond?: number
}

const common = (asked: Asked) => ({
  path: asked.path,
  summary: asked.summary,
  response: { kind: 'json', ...asked.told } as const,
  perSecond: asked.perSecond ?? 30,
})

/** What is read of the desk. Each answer is held to its schema, which has no place for what is hidden. */
function reads(asked: Asked, parameters: readonly PathParameter[] = []): Route {
  return defineRoute({
    ...common(asked),
    method: 'GET',
    parameters,
    query: noQuery,
    queryExample: {},
    needs: asked.needs ?? 'view',
    refusals: asked.refusals ?? OFF,
    async handle(input) {
      const path = parameters.reduce(
        (text, { name }) => text.replace(`{${name}}`, encodeURIComponent(input.params[name] ?? '')),
        asked.path,
      )
      const instructor = asked.needs === 'engineer' ? { instructor: instructorOf(input) } : {}
      return asked.told.schema.parse(await input.sources.training.ask({ method: 'GET', path, ...instructor }))
    },
  })
}

function writes<Body extends z.ZodType>(asked: Asked & { body: Body; sent: unknown; says: string }): Route {
  return defineRoute({
    ...common(asked),
    method: 'POST',
    parameters: [],
    query: noQuery,
    queryExample: {},
    body: { description: asked.says, schema: asked.body, maxBytes: MOST_BYTES, example: asked.sent },
    needs: asked.needs ?? 'operate',
    refusals: asked.refusals ?? NOT_NOW,
    async handle(input) {
      const instructor = asked.needs === 'engineer' ? { instructor: instructorOf(input) } : {}
      const ask = { method: 'POST', path: asked.path, body: input.body, ...instructor } as const
      return asked.told.schema.parse(await input.sources.training.ask(ask))
    },
  })
}

const EXERCISE: Told = {
  description: 'The exercise as its trainee sees it.',
  schema: trainingExercise,
  example: example.exercise,
}
const VIEW: Told = {
  description: 'The exercise with what is hidden in it, and the machine.',
  schema: instructorView,
  example: example.instructor,
}
const OF = { body: ofExercise, sent: { exercise: example.exercise.id }, says: 'Which exercise.' }
const INSTRUCTOR = { needs: 'engineer', refusals: KEY } as const

/** Training at a simulated machine with hidden faults; the desk that knows them lives in the simulator's process. */
export const trainingRoutes: readonly Route[] = [
  reads({
    path: '/api/training',
    summary: 'Lines, levels and lessons to train at, and every cause and remedy to answer with',
    told: { description: 'What there is to choose from.', schema: trainingCatalogue, example: example.catalogue },
  }),
  reads({
    path: '/api/training/acts',
    summary: 'What a technician can do at the machine: time, caution, the state it needs, arguments',
    told: { description: 'Acts with the fields of their forms.', schema: trainingActs, example: example.acts },
  }),
  reads({
    path: '/api/training/exercise',
    summary: 'The exercise that is open',
    told: { description: 'null: none is.', schema: openExercise, example: { exercise: example.exercise } },
  }),
  writes({
    path: '/api/training/exercise',
    summary: 'Begin a lesson or an exercise of a level: a fresh machine with something hidden in it',
    told: EXERCISE,
    body: startExercise,
    sent: { trainee: 'A. Fitter', lesson: 'push' },
    says: 'Who, and a lesson or a level. A level takes up to half a minute: what it draws is tried out first.',
    perSecond: 2,
  }),
  writes({
    path: '/api/training/exercise/acts',
    summary: 'Do something at the machine; what would be unsafe is refused with the reason, and counted',
    told: { description: 'The deed, and the exercise after it.', schema: actOutcome, example: example.outcome },
    body: doAct,
    sent: example.sentAct,
    says: 'Which act, at which zone, with which arguments.',
  }),
  writes({
    path: '/api/training/exercise/hint',
    summary: 'The next hint of a lesson; each is counted',
    told: EXERCISE,
    ...OF,
  }),
  writes({
    path: '/api/training/exercise/answer',
    summary: 'Hand in an answer: cause, side and remedy of each fault, or that nothing is wrong',
    told: { ...EXERCISE, example: { ...example.exercise, state: 'handed-in' } },
    body: handIn,
    sent: example.sentAnswer,
    says: 'The findings; none says that nothing is wrong.',
  }),
  writes({
    path: '/api/training/exercise/give-up',
    summary: 'Give up: the exercise is over, and its debrief is told',
    told: { ...EXERCISE, example: { ...example.exercise, state: 'given-up' } },
    ...OF,
  }),
  reads(
    {
      path: '/api/training/debriefs/{id}',
      summary: 'What was wrong, what each test told and could have told, the shortest way; once the exercise is over',
      told: { description: 'The debrief, or how far it is.', schema: debriefAnswer, example: example.working },
      refusals: { ...OFF, 404: 'No such exercise, or no training machine.', 409: 'The exercise is still open.' },
    },
    [{ name: 'id', description: 'Id of the exercise', example: example.exercise.id }],
  ),
  defineRoute({
    ...common({
      path: '/api/training/progress',
      summary: 'What a trainee has done so far',
      told: { description: 'Lessons done and results.', schema: trainingProgress, example: example.progress },
    }),
    method: 'GET',
    parameters: [],
    query: progressQuery,
    queryExample: { trainee: 'A. Fitter' },
    needs: 'view',
    refusals: OFF,
    async handle({ query, sources }) {
      const path = `/api/training/progress?trainee=${encodeURIComponent(query.trainee)}`
      return trainingProgress.parse(await sources.training.ask({ method: 'GET', path }))
    },
  }),
  reads({
    path: '/api/training/instructor',
    summary: 'For the instructor: what is hidden, what the trainee does, and the machine',
    told: VIEW,
    ...INSTRUCTOR,
  }),
  reads({
    path: '/api/training/instructor/faults',
    summary: 'For the instructor: every fault that can be put in, with its sizes',
    told: { description: 'Faults in the order of the vocabulary.', schema: faultList, example: example.faults },
    ...INSTRUCTOR,
  }),
  writes({
    path: '/api/training/instructor/exercise',
    summary: 'For the instructor: begin an exercise with chosen faults, or a level with a chosen seed',
    told: VIEW,
    body: setExercise,
    sent: example.sentSet,
    says: 'For whom, where, and what is hidden.',
    needs: 'engineer',
    refusals: { ...KEY, 409: 'An exercise is open.' },
    perSecond: 2,
  }),
  writes({
    path: '/api/training/instructor/changes',
    summary: 'For the instructor: change faults, tension or speed at the running machine',
    told: VIEW,
    body: instructorChange,
    sent: example.sentChange,
    says: 'One change; it is counted into the exercise.',
    needs: 'engineer',
    refusals: { ...KEY, 409: 'The exercise is over.' },
  }),
  defineRoute({
    ...common({
      path: '/api/training/instructor/results',
      summary: 'For the instructor: results of all trainees or of one, as JSON or CSV',
      told: {
        description: 'A row an exercise; CSV where that is asked for.',
        schema: trainingResults,
        example: example.results,
      },
    }),
    method: 'GET',
    parameters: [],
    query: resultsQuery,
    queryExample: { format: 'json' },
    needs: 'engineer',
    refusals: KEY,
    async handle(input) {
      const { format, trainee } = input.query
      const of = trainee === undefined ? '' : `?trainee=${encodeURIComponent(trainee)}`
      const path = `/api/training/instructor/results${of}`
      const instructor = instructorOf(input)
      const told = trainingResults.parse(await input.sources.training.ask({ method: 'GET', path, instructor }))
      if (format === 'json') return told
      return new WithHeaders(Buffer.from(resultsCsv(told.results)), {
        'content-type': 'text/csv; charset=utf-8',
        'content-disposition': 'attachment; filename="training-results.csv"',
      })
    },
  }),
]
