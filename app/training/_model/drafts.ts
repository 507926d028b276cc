import { z } from 'zod'
import { keptDrafts } from '../../_ui/kept-drafts.ts'
import { EMPTY_FINDING } from './answer.ts'

/** What was typed in an exercise and is not sent yet. It is the browser's until it is handed in. */
const finding = z.object({ cause: z.string(), side: z.string(), zone: z.string(), remedy: z.string() })
const draft = z.object({
  doing: z.string(),
  /** The act whose form is open; empty: none. */
  act: z.string(),
  /** Text of the fields of all forms, by `fieldOf`. */
  typed: z.record(z.string(), z.string()),
  note: z.string(),
  verdict: z.enum(['', 'nothing', 'causes']),
  findings: z.array(finding),
})
export type Draft = z.infer<typeof draft>
export const EMPTY: Draft = { doing: 'safe', act: '', typed: {}, note: '', verdict: '', findings: [EMPTY_FINDING] }

const kept = keptDrafts('evenpull.training.drafts', draft, EMPTY)
/** Those of earlier exercises go: they are handed in, or another was begun over them. */
const KEPT = 3

export function changeDraft(exercise: string, change: Partial<Draft>): void {
  kept.change(({ [exercise]: before = EMPTY, ...others }) => {
    const rest = Object.entries(others).slice(1 - KEPT)
    return { ...Object.fromEntries(rest), [exercise]: { ...before, ...change } }
  })
}

export const useDraftsStored = kept.useAreStored
export const useDraft = kept.useDraft
