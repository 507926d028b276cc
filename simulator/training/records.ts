import { rename } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { z } from 'zod'
import {
  type TrainingDebrief,
  type TrainingResult,
  trainingDebrief,
  trainingResult,
} from '../../shared/schemas/training.ts'
import { type ClosedExercise, closedExercise } from './closed-exercise.ts'
import { putWhole, readIfThere } from './whole-file.ts'

const progressFile = z.strictObject({ version: z.literal(1), results: z.array(trainingResult) })

/**
 * What trainees have done, beside the config: `.evenpull/CONFIG.training.json` holds a line an exercise, the folder
 * `CONFIG.training` what each was and its debrief. Every file is whole at any moment.
 */
export class TrainingRecords {
  readonly #progress: string
  readonly #folder: string
  #results: TrainingResult[] = []
  #saving: Promise<void> = Promise.resolve()

  private constructor(configPath: string) {
    const beside = join(dirname(configPath), '.evenpull', basename(configPath))
    this.#progress = `${beside}.training.json`
    this.#folder = `${beside}.training`
  }

  /** A file that cannot be understood is put aside under another name, and said. Rejects when it cannot be read. */
  static async open(configPath: string, say: (line: string) => void): Promise<TrainingRecords> {
    const records = new TrainingRecords(configPath)
    const text = await readIfThere(records.#progress)
    if (text === null) return records
    try {
      records.#results = progressFile.parse(JSON.parse(text)).results
    } catch {
      const aside = `${records.#progress}.not-understood`
      await rename(records.#progress, aside)
      say(`the progress of trainees could not be understood and was put aside as ${aside}`)
    }
    return records
  }

  /** Oldest first. */
  get results(): readonly TrainingResult[] {
    return this.#results
  }

  /** Adds a result, or puts it in the place of the one of the same exercise. Resolves once it is on the disk. */
  async keep(result: TrainingResult): Promise<void> {
    const others = this.#results.filter(({ exercise }) => exercise !== result.exercise)
    this.#results = [...others, result].sort((a, b) => a.endedMs - b.endedMs)
    // One after another: an older list must not come to the disk after a newer one.
    const saved = this.#saving.then(() =>
      putWhole(this.#progress, JSON.stringify({ version: 1, results: this.#results })),
    )
    this.#saving = saved.catch(() => {})
    await saved
  }

  async keepClosed(closed: ClosedExercise): Promise<void> {
    await putWhole(this.#file(closed.exercise.id, 'closed'), JSON.stringify(closed))
  }

  /** null: there is none of this id. */
  async closed(id: string): Promise<ClosedExercise | null> {
    const text = await readIfThere(this.#file(id, 'closed'))
    return text === null ? null : closedExercise.parse(JSON.parse(text))
  }

  async keepDebrief(debrief: TrainingDebrief): Promise<void> {
    await putWhole(this.#file(debrief.exercise.id, 'debrief'), JSON.stringify(debrief))
  }

  /** null: not worked out yet. */
  async debrief(id: string): Promise<TrainingDebrief | null> {
    const text = await readIfThere(this.#file(id, 'debrief'))
    return text === null ? null : trainingDebrief.parse(JSON.parse(text))
  }

  /** An id is checked where it comes in; a name with a way in it is nobody's. */
  #file(id: string, what: string): string {
    return join(this.#folder, `${z.uuid().parse(id)}.${what}.json`)
  }
}
