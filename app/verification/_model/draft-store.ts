import { useSyncExternalStore } from 'react'
import { z } from 'zod'
import { captureAsk, testPhase } from '../../../shared/schemas/verification.ts'

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

const KEY = 'evenpull.verification.drafts'
const listeners = new Set<() => void>()
let drafts: Readonly<Record<string, Draft>> | null = null

function read(text: string | null): Readonly<Record<string, Draft>> {
  try {
    const kept: unknown = JSON.parse(text ?? '{}')
    if (typeof kept !== 'object' || kept === null) return {}
    return Object.fromEntries(
      Object.entries(kept).flatMap(([id, one]) => {
        const parsed = draft.safeParse(one)
        return parsed.success ? [[id, parsed.data]] : []
      }),
    )
  } catch {
    return {}
  }
}

function all(): Readonly<Record<string, Draft>> {
  if (drafts === null) {
    try {
      drafts = read(localStorage.getItem(KEY))
    } catch {
      drafts = {}
    }
  }
  return drafts
}

function write(next: Readonly<Record<string, Draft>>): void {
  drafts = next
  try {
    localStorage.setItem(KEY, JSON.stringify(next))
  } catch {
    // Storage is forbidden or full: it lasts as long as the page.
  }
  for (const listener of listeners) listener()
}

export const draftId = (record: string, test: string): string => `${record} ${test}`

export function changeDraft(id: string, change: (before: Draft) => Draft): void {
  write({ ...all(), [id]: change(all()[id] ?? EMPTY) })
}

export function dropDraft(id: string): void {
  const { [id]: _, ...rest } = all()
  write(rest)
}

function subscribe(listener: () => void): () => void {
  const elsewhere = (event: StorageEvent) => {
    if (event.key !== KEY) return
    drafts = read(event.newValue)
    listener()
  }
  listeners.add(listener)
  addEventListener('storage', elsewhere)
  return () => {
    listeners.delete(listener)
    removeEventListener('storage', elsewhere)
  }
}

/** What is typed for a test; the empty one where nothing is. */
export function useDraft(id: string): Draft {
  return useSyncExternalStore(
    subscribe,
    () => all()[id] ?? EMPTY,
    () => EMPTY,
  )
}
