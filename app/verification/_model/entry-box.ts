import { z } from 'zod'
import { newEntry } from '../../../shared/schemas/verification.ts'

/** An entry on its way to the record: it stays in this browser until the gateway says that it is on the disk. */
const waiting = z.object({
  record: z.string(),
  entry: newEntry,
  /** Why it was refused for good, for the reader; null while it was only not reached. */
  refused: z.string().nullable(),
})
export type WaitingEntry = z.infer<typeof waiting>

const KEY = 'evenpull.verification.waiting'
const listeners = new Set<() => void>()
let entries: readonly WaitingEntry[] | null = null

export function waitingEntries(): readonly WaitingEntry[] {
  if (entries === null) {
    try {
      const kept: unknown = JSON.parse(localStorage.getItem(KEY) ?? '[]')
      const list = Array.isArray(kept) ? kept : []
      entries = list.flatMap((one) => {
        const parsed = waiting.safeParse(one)
        return parsed.success ? [parsed.data] : []
      })
    } catch {
      entries = []
    }
  }
  return entries
}

function write(next: readonly WaitingEntry[]): void {
  entries = next
  try {
    localStorage.setItem(KEY, JSON.stringify(next))
  } catch {
    // Storage is forbidden, or a photo does not fit: it lasts as long as the page.
  }
  for (const listener of listeners) listener()
}

export const keepEntry = (one: WaitingEntry): void => write([...waitingEntries(), one])
export const dropEntry = (key: string): void => write(waitingEntries().filter(({ entry }) => entry.key !== key))
export const refuseEntry = (key: string, why: string): void =>
  write(waitingEntries().map((one) => (one.entry.key === key ? { ...one, refused: why } : one)))

export function onEntries(listener: () => void): () => void {
  listeners.add(listener)
  return () => listeners.delete(listener)
}
