import { z } from 'zod'
import {
  type FaultList,
  type SetExercise,
  type TrainingCatalogue,
  traineeName,
} from '../../../shared/schemas/training.ts'
import { parsedJson } from '../../_ui/browser-kept.ts'
import { EMPTY_FAULT, parsedFault, readFault } from './fault-form.ts'

/** An exercise as an instructor is putting it together: texts as typed. */
const draft = z.object({
  trainee: z.string(),
  line: z.string(),
  way: z.enum(['faults', 'seed']),
  faults: z.array(z.unknown()),
  level: z.string(),
  seed: z.string(),
})
type RawSet = z.infer<typeof draft>
export type SetDraft = Omit<RawSet, 'faults'> & { readonly faults: readonly ReturnType<typeof parsedFault>[] }
export const EMPTY_SET: SetDraft = { trainee: '', line: '', way: 'faults', faults: [EMPTY_FAULT], level: '', seed: '' }

/** A draft out of what was kept; the empty one out of anything else. */
export function parsedSet(text: string): SetDraft {
  const { data } = draft.safeParse(parsedJson(text))
  if (data === undefined) return EMPTY_SET
  return { ...data, faults: data.faults.map((one) => parsedFault(JSON.stringify(one))) }
}

export type ReadSet = { readonly ok: true; readonly set: SetExercise } | { readonly ok: false; readonly fault: string }

const refused = (fault: string): ReadSet => ({ ok: false, fault })
const MOST_SEED = 0xffff_ffff

/** The exercise as it is begun, or what is still open. No fault is a sound machine. */
export function readSet(typed: SetDraft, catalogue: TrainingCatalogue, list: FaultList): ReadSet {
  const trainee = traineeName.safeParse(typed.trainee)
  if (!trainee.success) return refused('Say for whom.')
  const line = catalogue.lines.find(({ id }) => id === typed.line)
  if (typed.way === 'seed') {
    const seed = /^\d+$/.test(typed.seed.trim()) ? Number(typed.seed) : Number.NaN
    if (!(seed <= MOST_SEED)) return refused(`The seed is a whole number from 0 to ${MOST_SEED}.`)
    const level = catalogue.levels.find(({ id }) => id === typed.level)
    if (level === undefined) return refused('Choose a level.')
    return {
      ok: true,
      set: { trainee: trainee.data, level: level.id, seed, ...(line === undefined ? {} : { line: line.id }) },
    }
  }
  if (line === undefined) return refused('Choose a line.')
  const faults = []
  for (const [i, one] of typed.faults.entries()) {
    const read = readFault(one, list, line.zones)
    if (!read.ok) return refused(`Fault ${i + 1}: ${read.fault}`)
    faults.push(read.fault)
  }
  return { ok: true, set: { trainee: trainee.data, line: line.id, faults } }
}
