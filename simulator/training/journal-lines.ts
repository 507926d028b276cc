import { z } from 'zod'
import { hiddenFault, takenUp, trainingDeed, trainingExercise } from '../../shared/schemas/training.ts'
import { madeChange } from './closed-exercise.ts'

const { id, trainee, kind, lesson, level, line, title, task, mostFaults, mayBeNothing, startedMs } =
  trainingExercise.shape

/** What an exercise is, before anything is done in it. */
export const exercisePlan = z
  .strictObject({
    ...{ id, trainee, kind, lesson, level, line, title, task, mostFaults, mayBeNothing, startedMs },
    hints: z.array(z.string()).readonly(),
    faults: z.array(hiddenFault).readonly(),
    seed: z.int(),
  })
  .readonly()

/** The first line of a journal. */
const beginning = z.strictObject({ version: z.literal(1), plan: exercisePlan })

/** What happened in it, in its order. */
export const journalEntry = z.discriminatedUnion('kind', [
  /** Done or refused, as its trainee was told. */
  z.strictObject({ kind: z.literal('deed'), deed: trainingDeed }),
  z.strictObject({ kind: z.literal('change'), change: madeChange }),
  z.strictObject({ kind: z.literal('hint'), atMs: z.number() }),
  /** How far the machine's own time, s, has come. */
  z.strictObject({ kind: z.literal('time'), atSeconds: z.number(), atMs: z.number() }),
  z.strictObject({ kind: z.literal('taken-up'), takenUp }),
])

export type ExercisePlan = z.output<typeof exercisePlan>
export type JournalEntry = z.output<typeof journalEntry>

export interface KeptExercise {
  readonly plan: ExercisePlan
  readonly entries: readonly JournalEntry[]
}

export const beginningLine = (plan: ExercisePlan): string => lineOf({ version: 1, plan })
export const entryLine = (entry: JournalEntry): string => lineOf(entry)

/** All of a journal as text; of times that nothing happened between, the last. */
export function journalText({ plan, entries }: KeptExercise): string {
  return beginningLine(plan) + settled(entries).map(entryLine).join('')
}

/**
 * What a journal tells. A last line without its end was being written when the process ended: it was answered to nobody
 * and is dropped. null: not even a first line came to the disk. Throws an Error that names the line that is no journal's.
 */
export function journalOf(text: string): KeptExercise | null {
  const [first, ...rest] = text.split('\n').slice(0, -1)
  if (first === undefined) return null
  const { plan } = parsed(beginning, first, 1)
  return { plan, entries: settled(rest.map((line, i) => parsed(journalEntry, line, i + 2))) }
}

/** When somebody was last at work in it, as far as is known, epoch ms. */
export function lastKnownMs({ plan, entries }: KeptExercise): number {
  const last = entries.at(-1)
  return last === undefined ? plan.startedMs : timeOf(last)
}

function timeOf(entry: JournalEntry): number {
  switch (entry.kind) {
    case 'deed':
      return entry.deed.atMs
    case 'change':
      return entry.change.atMs
    case 'taken-up':
      return entry.takenUp.atMs
    default:
      return entry.atMs
  }
}

/** The time that goes by between two things that happened is told by the second. */
function settled(entries: readonly JournalEntry[]): JournalEntry[] {
  return entries.filter(({ kind }, i) => kind !== 'time' || entries[i + 1]?.kind !== 'time')
}

function parsed<Schema extends z.ZodType>(schema: Schema, line: string, number: number): z.output<Schema> {
  try {
    return schema.parse(JSON.parse(line))
  } catch (cause) {
    throw new Error(`line ${number} is not one of a journal`, { cause })
  }
}

const lineOf = (value: unknown): string => `${JSON.stringify(value)}\n`
