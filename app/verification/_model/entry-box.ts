import { z } from 'zod'
import { newEntry } from '../../../shared/schemas/verification.ts'
import { waitingList } from '../../_ui/waiting-list.ts'

const waiting = z.object({ record: z.string(), entry: newEntry, refused: z.string().nullable() })
export type WaitingEntry = z.infer<typeof waiting>

/** Entries on their way to a record. */
export const entryBox = waitingList('evenpull.verification.waiting', waiting, ({ entry }) => entry.key)
