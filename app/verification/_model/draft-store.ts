import { useSyncExternalStore } from 'react'
import { z } from 'zod'
import { captureAsk } from '../../../shared/schemas/verification/capture.ts'
import { testPhase } from '../../../shared/schemas/verification.ts'
import { browserKept, parsedJson } from '../../_ui/browser-kept.ts'

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

type Drafts = Readonly<Record<string, Draft>>

const kept = browserKept<Drafts>({
  key: 'evenpull.verification.drafts',
  parse: (text) => {
    const all = parsedJson(text)
    if (typeof all !== 'object' || all === null) return {}
    return Object.fromEntries(
      Object.entries(all).flatMap(([id, one]) => {
        const { data } = draft.safeParse(one)
        return data === undefined ? [] : [[id, data]]
      }),
    )
  },
  join: (theirs, mine) => ({ ...theirs, ...mine }),
})

export const draftId = (record: string, test: string): string => `${record} ${test}`

export function changeDraft(id: string, change: (before: Draft) => Draft): void {
  kept.change((all) => ({ ...all, [id]: change(all[id] ?? EMPTY) }))
}

export function dropDraft(id: string): void {
  kept.change(({ [id]: _, ...rest }) => rest)
}

/** False while what is typed would not outlive this page. */
export const useDraftsStored = (): boolean => useSyncExternalStore(kept.subscribe, kept.isStored, () => true)

/** What is typed for a test; the empty one where nothing is. */
export function useDraft(id: string): Draft {
  return useSyncExternalStore(
    kept.subscribe,
    () => kept.get()[id] ?? EMPTY,
    () => EMPTY,
  )
}
