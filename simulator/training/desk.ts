import { randomInt, randomUUID } from 'node:crypto'
import { EvenpullError } from '../../shared/errors.ts'
import type {
  ActOutcome,
  DebriefAnswer,
  DoAct,
  HandIn,
  InstructorChange,
  InstructorView,
  SetExercise,
  StartExercise,
  TrainingExercise,
  TrainingProgress,
  TrainingResults,
} from '../../shared/schemas/training.ts'
import type { ActiveFault } from '../faults/active.ts'
import { NotPossible } from '../technician/not-possible.ts'
import type { ReplayedChange } from './closed-exercise.ts'
import { Debriefs } from './debriefs.ts'
import { drawInThread } from './jobs.ts'
import { lessonOf } from './lessons.ts'
import { levelOf } from './levels.ts'
import { type ExercisePlan, hasZones, OpenExercise } from './open-exercise.ts'
import type { TrainingRecords } from './records.ts'
import { resultOf } from './result.ts'
import type { RunningLine } from './running-line.ts'
import { TRAINING_LINES, trainingLine } from './training-lines.ts'

export interface DeskParts {
  readonly line: RunningLine
  readonly records: TrainingRecords
  readonly nowMs: () => number
}

const LARGEST_SEED = 0xffffffff

/** The one desk of the one machine: exercises are begun, worked at, handed in and debriefed here. Every refusal is an EvenpullError. */
export class TrainingDesk {
  readonly #parts: DeskParts
  readonly #debriefs: Debriefs
  readonly #ending = new AbortController()
  #open: OpenExercise | null = null
  /** While a machine is being made, nobody begins another or works at the old one. */
  #isStarting = false

  constructor(parts: DeskParts) {
    this.#parts = parts
    this.#debriefs = new Debriefs(parts.records)
  }

  /** A sound machine of the first line runs until somebody begins. */
  async open(): Promise<void> {
    const [first] = TRAINING_LINES
    if (first !== undefined) await this.#parts.line.start(first, [], 1)
  }

  async close(): Promise<void> {
    this.#ending.abort()
    await this.#debriefs.close()
    await this.#parts.line.close()
  }

  exercise(): TrainingExercise | null {
    return this.#open?.told() ?? null
  }

  start(asked: StartExercise): Promise<TrainingExercise> {
    return this.#begin(() =>
      'lesson' in asked
        ? lessonPlan(asked.trainee, asked.lesson)
        : this.#levelPlan(asked.trainee, asked.level, asked.line, randomInt(LARGEST_SEED)),
    )
  }

  /** An exercise that the instructor has put together. */
  async set(asked: SetExercise): Promise<InstructorView> {
    await this.#begin(() =>
      'faults' in asked
        ? setPlan(asked.trainee, asked.line, asked.faults as ActiveFault[])
        : this.#levelPlan(asked.trainee, asked.level, asked.line, asked.seed),
    )
    return this.forInstructor()
  }

  act({ exercise, act, zone, args }: DoAct): ActOutcome {
    const open = this.#openOf(exercise)
    const deed = possible(() => open.act(act, zone, args))
    return { deed, exercise: open.told() }
  }

  hint(exercise: string): TrainingExercise {
    const open = this.#openOf(exercise)
    if (!open.hint()) throw stateError('there is no hint left')
    return open.told()
  }

  /** Closes it; from now on its debrief may be asked for. Resolves once the answer is on the disk. */
  handIn({ exercise, findings, note }: HandIn): Promise<TrainingExercise> {
    const open = this.#openOf(exercise)
    if (!hasZones(open.told(), findings)) throw invalid('a finding names a zone that this line does not have')
    return this.#close(open, 'handed-in', { findings, note })
  }

  giveUp(exercise: string): Promise<TrainingExercise> {
    return this.#close(this.#openOf(exercise), 'given-up', null)
  }

  async debrief(id: string): Promise<DebriefAnswer> {
    if (this.#open?.plan.id === id) throw stateError('the exercise is open: hand in an answer or give up first')
    const answer = await this.#debriefs.of(id)
    if (answer === null) throw new EvenpullError('EVP_NOT_FOUND', `nobody has finished an exercise ${id}`)
    return answer
  }

  progress(trainee: string): TrainingProgress {
    const results = this.#parts.records.results.filter((result) => result.trainee === trainee).reverse()
    const done = results.filter(({ found, lesson }) => found && lesson !== null).map(({ lesson }) => lesson as string)
    return { trainee, lessonsDone: [...new Set(done)], results }
  }

  results(trainee: string | undefined): TrainingResults {
    const { results } = this.#parts.records
    return { results: results.filter((result) => trainee === undefined || result.trainee === trainee) }
  }

  forInstructor(): InstructorView {
    const trainees = [...new Set(this.#parts.records.results.map(({ trainee }) => trainee))]
    const none = { exercise: null, seed: null, faults: [], machine: null, changes: [] }
    return { ...(this.#open?.forInstructor() ?? none), trainees }
  }

  change({ exercise, ...change }: InstructorChange): InstructorView {
    const open = this.#openOf(exercise)
    possible(() => open.change(change as ReplayedChange))
    return this.forInstructor()
  }

  async #begin(planOf: () => ExercisePlan | Promise<ExercisePlan>): Promise<TrainingExercise> {
    const { line, nowMs } = this.#parts
    if (this.#isStarting) throw stateError('a machine is just being made ready')
    if (this.#open !== null)
      throw stateError(`${this.#open.plan.trainee} is at the machine: hand in or give up that exercise first`)
    this.#isStarting = true
    try {
      const plan = await planOf()
      const machine = await line.start(lineOf(plan.line), plan.faults, plan.seed)
      this.#open = new OpenExercise({ ...plan, startedMs: nowMs() }, machine, nowMs)
      return this.#open.told()
    } catch (error) {
      if (error instanceof RangeError) throw invalid(error.message)
      throw error
    } finally {
      this.#isStarting = false
    }
  }

  async #levelPlan(trainee: string, id: string, on: string | undefined, seed: number): Promise<ExercisePlan> {
    const level = levelOf(id)
    if (level === undefined) throw invalid(`there is no level ${id}`)
    if (on !== undefined) lineOf(on)
    const drawn = await drawInThread({ level: id, line: on ?? null, seed }, this.#ending.signal)
    const { title, about: task, faults: mostFaults, nothing } = level
    const rest = { kind: 'level', lesson: null, level: id, hints: [], mayBeNothing: nothing > 0 } as const
    return { ...planBase(trainee, seed), ...rest, title, task, mostFaults, line: drawn.line, faults: drawn.faults }
  }

  async #close(
    open: OpenExercise,
    state: 'handed-in' | 'given-up',
    answer: { findings: HandIn['findings']; note: string } | null,
  ): Promise<TrainingExercise> {
    const closed = open.closed(state, answer)
    const { records } = this.#parts
    // Kept first: an answer that is not on the disk can be handed in again.
    await records.keepClosed(closed)
    await records.keep(resultOf(closed, null))
    this.#open = null
    this.#debriefs.begin(closed)
    return closed.exercise
  }

  #openOf(id: string): OpenExercise {
    if (this.#isStarting) throw stateError('a machine is just being made ready')
    if (this.#open === null) throw stateError('no exercise is open: begin one')
    if (this.#open.plan.id !== id) throw stateError('this exercise is over: another one is open')
    return this.#open
  }
}

const planBase = (trainee: string, seed: number) => ({ id: randomUUID(), trainee, seed, startedMs: 0 })

function lessonPlan(trainee: string, id: string): ExercisePlan {
  const lesson = lessonOf(id)
  if (lesson === undefined) throw invalid(`there is no lesson ${id}`)
  const { title, task, line, hints, fault, seed } = lesson
  const rest = { kind: 'lesson', lesson: id, level: null, mostFaults: 1, mayBeNothing: false } as const
  return { ...planBase(trainee, seed), ...rest, title, task, line, hints, faults: [fault] }
}

function setPlan(trainee: string, line: string, faults: readonly ActiveFault[]): ExercisePlan {
  const title = 'Set by the instructor'
  const task = 'Find out what is wrong with this line, if anything is.'
  // As much as may be in any: how many there are is for the trainee to find.
  const rest = { kind: 'set', lesson: null, level: null, mostFaults: 4, mayBeNothing: true, hints: [] } as const
  return { ...planBase(trainee, randomInt(LARGEST_SEED)), ...rest, title, task, line, faults }
}

function lineOf(id: string) {
  const line = trainingLine(id)
  if (line === undefined) throw invalid(`there is no line ${id}`)
  return line
}

/** What cannot be done as it was said is the asker's to put right. */
function possible<T>(act: () => T): T {
  try {
    return act()
  } catch (error) {
    if (error instanceof NotPossible || error instanceof RangeError) throw invalid(error.message)
    throw error
  }
}

const invalid = (message: string) => new EvenpullError('EVP_REQUEST_INVALID', message)
const stateError = (message: string) => new EvenpullError('EVP_TRAINING_STATE', message)
