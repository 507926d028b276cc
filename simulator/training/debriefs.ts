import type { DebriefAnswer } from '../../shared/schemas/training.ts'
import type { ClosedExercise } from './closed-exercise.ts'
import { debriefInThread } from './jobs.ts'
import type { TrainingRecords } from './records.ts'
import { resultOf } from './result.ts'

/** Works debriefs out, one after another, and keeps them. */
export class Debriefs {
  readonly #records: TrainingRecords
  readonly #ending = new AbortController()
  readonly #shares = new Map<string, number>()
  readonly #failed = new Map<string, string>()
  #queue: Promise<void> = Promise.resolve()

  constructor(records: TrainingRecords) {
    this.#records = records
  }

  /** Begins one; it is asked for later. */
  begin(closed: ClosedExercise): void {
    const { id } = closed.exercise
    if (this.#shares.has(id)) return
    this.#failed.delete(id)
    this.#shares.set(id, 0)
    this.#queue = this.#queue.then(() => this.#work(closed))
  }

  /** null: nobody has finished an exercise of this id. One that a crash has broken off is begun again. */
  async of(id: string): Promise<DebriefAnswer | null> {
    const share = this.#shares.get(id)
    if (share !== undefined) return { state: 'working', share }
    const reason = this.#failed.get(id)
    if (reason !== undefined) return { state: 'failed', reason }
    const debrief = await this.#records.debrief(id)
    if (debrief !== null) return { state: 'ready', debrief }
    const closed = await this.#records.closed(id)
    if (closed === null) return null
    this.begin(closed)
    return { state: 'working', share: 0 }
  }

  async close(): Promise<void> {
    this.#ending.abort()
    await this.#queue
  }

  async #work(closed: ClosedExercise): Promise<void> {
    const { id } = closed.exercise
    try {
      const debrief = await debriefInThread(closed, (done) => this.#shares.set(id, done), this.#ending.signal)
      await this.#records.keepDebrief(debrief)
      await this.#records.keep(resultOf(closed, debrief))
    } catch (error) {
      this.#failed.set(id, error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error))
    } finally {
      this.#shares.delete(id)
    }
  }
}
