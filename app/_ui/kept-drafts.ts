import { useSyncExternalStore } from 'react'
import type { z } from 'zod'
import { browserKept, parsedJson } from './browser-kept.ts'

type All<D> = Readonly<Record<string, D>>

/** What was typed and is not sent yet, by what it is for. It is the browser's until it is kept elsewhere. */
export interface KeptDrafts<D> {
  change(next: (all: All<D>) => All<D>): void
  /** The empty one where nothing was typed. */
  useDraft(id: string): D
  /** False while what is typed would not outlive this page. */
  useAreStored(): boolean
}

/** @param key of the browser's storage; one that no longer fits the schema is left out */
export function keptDrafts<D>(key: string, schema: z.ZodType<D>, empty: D): KeptDrafts<D> {
  const kept = browserKept<All<D>>({
    key,
    parse: (text) => {
      const all = parsedJson(text)
      if (typeof all !== 'object' || all === null) return {}
      return Object.fromEntries(
        Object.entries(all).flatMap(([id, one]) => {
          const { data } = schema.safeParse(one)
          return data === undefined ? [] : [[id, data]]
        }),
      )
    },
    join: (theirs, mine) => ({ ...theirs, ...mine }),
  })
  return {
    change: (next) => void kept.change(next),
    useDraft: (id) =>
      useSyncExternalStore(
        kept.subscribe,
        () => kept.get()[id] ?? empty,
        () => empty,
      ),
    useAreStored: () => useSyncExternalStore(kept.subscribe, kept.isStored, () => true),
  }
}
