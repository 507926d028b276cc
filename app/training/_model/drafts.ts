import { useSyncExternalStore } from 'react'
import { z } from 'zod'
import { browserKept, parsedJson } from '../../_ui/browser-kept.ts'
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

type Drafts = Readonly<Record<string, Draft>>
/** Those of earlier exercises go: they are handed in, or another was begun over them. */
const KEPT = 3

const kept = browserKept<Drafts>({
  key: 'evenpull.training.drafts',
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

export function changeDraft(exercise: string, change: Partial<Draft>): void {
  kept.change(({ [exercise]: before = EMPTY, ...others }) => {
    const rest = Object.entries(others).slice(1 - KEPT)
    return { ...Object.fromEntries(rest), [exercise]: { ...before, ...change } }
  })
}

/** False while what is typed would not outlive this page. */
export const useDraftsStored = (): boolean => useSyncExternalStore(kept.subscribe, kept.isStored, () => true)

/** What is typed in an exercise; the empty one where nothing is. */
export function useDraft(exercise: string): Draft {
  return useSyncExternalStore(
    kept.subscribe,
    () => kept.get()[exercise] ?? EMPTY,
    () => EMPTY,
  )
}
