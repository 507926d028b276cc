import { z } from 'zod'
import { newNote } from '../../../shared/schemas/notes.ts'
import { waitingList } from '../../_ui/waiting-list.ts'

const waiting = newNote.extend({
  zone: z.string(),
  /** Plant and line: a note of another gateway at the same address is not sent to this one. */
  owner: z.string(),
  refused: z.string().nullable(),
})
export type WaitingNote = z.infer<typeof waiting>

/** Notes that were written and that the gateway has not recorded yet. */
export const noteBox = waitingList('evenpull.notes.waiting', waiting, ({ key }) => key)
