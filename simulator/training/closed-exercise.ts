import { z } from 'zod'
import { hiddenFault, trainingExercise, trainingFinding } from '../../shared/schemas/training.ts'

/** Something an instructor did to the machine, for whoever does it again on a twin. */
const replayedChange = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('put-in'), fault: hiddenFault }),
  z.strictObject({ do: z.literal('clear-faults') }),
  z.strictObject({ do: z.literal('speed'), speed_m_min: z.number() }),
  z.strictObject({ do: z.literal('tension'), zone: z.string(), tension_n: z.number() }),
  z.strictObject({ do: z.literal('programme') }),
])
export const madeChange = z.strictObject({
  atMs: z.number(),
  /** Of the machine, s. */
  atSeconds: z.number(),
  words: z.string(),
  change: replayedChange,
})

export const closedFault = z.strictObject({
  fault: hiddenFault,
  by: z.enum(['exercise', 'instructor']),
  mended: z.boolean(),
})

/** All that a debrief is worked out from: kept as a file, so that a crash in between loses nothing. */
export const closedExercise = z.strictObject({
  exercise: trainingExercise,
  seed: z.int(),
  /** Hidden at the start, and what is hidden at the end. */
  drawn: z.array(hiddenFault),
  faults: z.array(closedFault),
  answer: z.strictObject({ findings: z.array(trainingFinding), note: z.string() }).nullable(),
  endedMs: z.number(),
  changes: z.array(madeChange),
})

export type MadeChange = z.output<typeof madeChange>
export type ReplayedChange = MadeChange['change']
export type ClosedFault = z.output<typeof closedFault>
export type ClosedExercise = z.output<typeof closedExercise>
