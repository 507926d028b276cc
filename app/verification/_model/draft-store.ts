import { z } from 'zod'
import { captureAsk } from '../../../shared/schemas/verification/capture.ts'
import { testPhase } from '../../../shared/schemas/verification.ts'
import { keptDrafts } from '../../_ui/kept-drafts.ts'

/** What was typed and captured for a test and is not part of the record yet. It is the browser's until it is kept. */
const draft = z.object({
  phase: testPhase,
  values: z.record(z.string(), z.union([z.number(), z.string(), z.boolean()])),
  /** Text of number fields as typed, also while it is no number. */
  typed: z.record(z.string(), z.string()),
  captures: z.array(captureAsk),
  /** Told with the next capture of each kind. */
  next: z.record(z.string(), z.record(z.string(), z.union([z.number(), z.string(), z.boolean()]))),
})
export type Draft = z.infer<typeof draft>
export const EMPTY: Draft = { phase: 'as-left', values: {}, typed: {}, captures: [], next: {} }

const kept = keptDrafts('evenpull.verification.drafts', draft, EMPTY)

export const draftId = (record: string, test: string): string => `${record} ${test}`

export function changeDraft(id: string, change: (before: Draft) => Draft): void {
  kept.change((all) => ({ ...all, [id]: change(all[id] ?? EMPTY) }))
}

export function dropDraft(id: string): void {
  kept.change(({ [id]: _, ...rest }) => rest)
}

export const useDraftsStored = kept.useAreStored
export const useDraft = kept.useDraft
