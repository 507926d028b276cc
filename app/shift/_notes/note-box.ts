import { z } from 'zod'
import { newNote } from '../../../shared/schemas/notes.ts'

/**
 * Notes that were written and that the gateway has not recorded yet. They stay in this browser until it says that
 * they are durable, through reloads and lost connections.
 */
const waiting = newNote.extend({
  zone: z.string(),
  /** Plant and line: a note of another gateway at the same address is not sent to this one. */
  owner: z.string(),
  /** Why it was not taken, for the reader; null while it was only not reached. */
  refused: z.string().nullable(),
})
export type WaitingNote = z.infer<typeof waiting>

const KEY = 'evenpull.notes.waiting'
const listeners = new Set<() => void>()
/** What waits; null until it was read. Where storage is forbidden or full it lasts as long as the page. */
let notes: readonly WaitingNote[] | null = null

/** All that wait, oldest first. The same array until something changed. */
export function waitingNotes(): readonly WaitingNote[] {
  notes ??= parsed(stored())
  return notes
}

function stored(): string | null {
  try {
    return localStorage.getItem(KEY)
  } catch {
    return null
  }
}

/** What can no longer be read is left out, one note at a time. */
function parsed(text: string | null): readonly WaitingNote[] {
  try {
    const kept: unknown = JSON.parse(text ?? '[]')
    if (!Array.isArray(kept)) return []
    return kept.flatMap((one) => {
      const note = waiting.safeParse(one)
      return note.success ? [note.data] : []
    })
  } catch {
    return []
  }
}

/** Keeps a note; returns false where this browser keeps nothing beyond the page. */
export function keepNote(note: WaitingNote): boolean {
  return write([...waitingNotes(), note])
}

export function dropNote(key: string): void {
  write(waitingNotes().filter((note) => note.key !== key))
}

export function refuseNote(key: string, why: string): void {
  write(waitingNotes().map((note) => (note.key === key ? { ...note, refused: why } : note)))
}

function write(next: readonly WaitingNote[]): boolean {
  notes = next
  let isStored = true
  try {
    localStorage.setItem(KEY, JSON.stringify(next))
  } catch {
    isStored = false
  }
  for (const listener of listeners) listener()
  return isStored
}

/** Called when something changed, also in another tab. Returns the undo. */
export function onNotes(listener: () => void): () => void {
  const elsewhere = (event: StorageEvent) => {
    if (event.key !== KEY) return
    notes = parsed(event.newValue)
    listener()
  }
  listeners.add(listener)
  addEventListener('storage', elsewhere)
  return () => {
    listeners.delete(listener)
    removeEventListener('storage', elsewhere)
  }
}
