import { randomInt } from 'node:crypto'
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
import type { Journal } from './journal.ts'
import type { ExercisePlan, KeptExercise } from './journal-lines.ts'
import { hasZones, OpenExercise } from './open-exercise.ts'
import { invalid, LARGEST_SEED, lessonPlan, levelCalled, levelPlan, lineOf, setPlan } from './plans.ts'
import type { TrainingRecords } from './records.ts'
import { resultOf } from './result.ts'
import type { RunningLine } from './running-line.ts'
import { takeUp } from './take-up.ts'
import { TRAINING_LINES } from './training-lines.ts'

export interface DeskParts {
  readonly line: RunningLine
  readonly records: TrainingRecords
  readonly journal: Journal
  readonly nowMs: () => number
  readonly log: (line: string) => void
}

/** How often it is kept how far the machine's time has come, while an exercise is open: that much is lost at most, ms. */
const TIME_KEPT_MS = 10_000

/** The one desk of the one machine: exercises are begun, worked at, handed in and debriefed here. Every refusal is an EvenpullError. */
export class TrainingDesk {
  readonly #parts: DeskParts
  readonly #debriefs: Debriefs
  readonly #ending = new AbortController()
  #open: OpenExercise | null = null
  /** While a machine is being made, nobody begins another or works at the old one. */
  #isStarting = false
  #keepingTime: NodeJS.Timeout | null = null

  constructor(parts: DeskParts) {
    this.#parts = parts
    this.#debriefs = new Debriefs(parts.records)
  }

  /** The exercise that was open when the last process ended is taken up; else a sound machine runs until somebody begins. */
  async open(): Promise<void> {
    this.#open = await this.#left()
    const [first] = TRAINING_LINES
    if (this.#open === null && first !== undefined) await this.#parts.line.start(first, [], 1)
    this.#keepingTime = setInterval(() => void this.#keepTime(), TIME_KEPT_MS)
  }

  /** What is open stays in the journal, for the next start. */
  async close(): Promise<void> {
    if (this.#keepingTime !== null) clearInterval(this.#keepingTime)
    this.#ending.abort()
    await this.#debriefs.close()
    await this.#keepTime()
    await this.#parts.journal.close()
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

  /** Resolves once the deed is on the disk, as `hint` and `change` do. */
  async act({ exercise, act, zone, args }: DoAct): Promise<ActOutcome> {
    const open = this.#openOf(exercise)
    const deed = possible(() => open.act(act, zone, args))
    const outcome = { deed, exercise: open.told() }
    await this.#parts.journal.keep({ kind: 'deed', deed })
    return outcome
  }

  async hint(exercise: string): Promise<TrainingExercise> {
    const open = this.#openOf(exercise)
    if (!open.hint()) throw stateError('there is no hint left')
    const told = open.told()
    await this.#parts.journal.keep({ kind: 'hint', atMs: this.#parts.nowMs() })
    return told
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

  async change({ exercise, ...asked }: InstructorChange): Promise<InstructorView> {
    const open = this.#openOf(exercise)
    const change = possible(() => open.change(asked as ReplayedChange))
    await this.#parts.journal.keep({ kind: 'change', change })
    return this.forInstructor()
  }

  async #begin(planOf: () => ExercisePlan | Promise<ExercisePlan>): Promise<TrainingExercise> {
    const { line, journal, nowMs } = this.#parts
    if (this.#isStarting) throw stateError('a machine is just being made ready')
    if (this.#open !== null)
      throw stateError(`${this.#open.plan.trainee} is at the machine: hand in or give up that exercise first`)
    this.#isStarting = true
    try {
      const planned = await planOf()
      const machine = await line.start(lineOf(planned.line), planned.faults, planned.seed)
      const plan = { ...planned, startedMs: nowMs() }
      await journal.begin({ plan, entries: [] })
      this.#open = new OpenExercise(plan, machine, nowMs)
      return this.#open.told()
    } catch (error) {
      if (error instanceof RangeError) throw invalid(error.message)
      throw error
    } finally {
      this.#isStarting = false
    }
  }

  async #levelPlan(trainee: string, id: string, on: string | undefined, seed: number): Promise<ExercisePlan> {
    const level = levelCalled(id)
    if (on !== undefined) lineOf(on)
    const drawn = await drawInThread({ level: id, line: on ?? null, seed }, this.#ending.signal)
    return levelPlan(trainee, level, drawn, seed)
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
    await this.#parts.journal.end()
    this.#open = null
    this.#debriefs.begin(closed)
    return closed.exercise
  }

  /** null: nothing was open, or it cannot be taken up. */
  async #left(): Promise<OpenExercise | null> {
    const { journal, nowMs } = this.#parts
    const kept = await journal.left(nowMs())
    if (kept === null || (await this.#isClosed(kept))) return null
    try {
      return await this.#takenUp(kept)
    } catch (error) {
      await journal.setAside(error, nowMs())
      return null
    }
  }

  async #takenUp(kept: KeptExercise): Promise<OpenExercise> {
    const { line, journal, nowMs, log } = this.#parts
    const { plan } = kept
    const machine = await line.start(lineOf(plan.line), plan.faults, plan.seed)
    const { open, entries, otherwise } = takeUp(kept, machine, nowMs)
    await journal.begin({ plan, entries })
    log(`the exercise “${plan.title}” of ${plan.trainee}, which was open, is taken up again`)
    if (otherwise > 0) log(`${otherwise} of what was done in it came out otherwise: the machine may stand differently`)
    return open
  }

  /** It was closed, and the process ended before its journal did. */
  async #isClosed({ plan: { id } }: KeptExercise): Promise<boolean> {
    const { records, journal } = this.#parts
    const closed = await records.closed(id).catch(() => null)
    if (closed === null) return false
    if (!records.results.some(({ exercise }) => exercise === id)) await records.keep(resultOf(closed, null))
    await journal.end()
    return true
  }

  async #keepTime(): Promise<void> {
    const { journal, nowMs } = this.#parts
    if (this.#open !== null) await journal.keep({ kind: 'time', atSeconds: this.#open.atSeconds, atMs: nowMs() })
  }

  #openOf(id: string): OpenExercise {
    if (this.#isStarting) throw stateError('a machine is just being made ready')
    if (this.#open === null) throw stateError('no exercise is open: begin one')
    if (this.#open.plan.id !== id) throw stateError('this exercise is over: another one is open')
    return this.#open
  }
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

const stateError = (message: string) => new EvenpullError('EVP_TRAINING_STATE', message)
