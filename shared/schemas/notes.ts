import { z } from 'zod'
import { who } from './config-write.ts'

/** Longest note: a few sentences. */
export const MOST_NOTE_LENGTH = 2000

const signed = {
  /** Made by who sends it, once: sent again with the same key, it is recorded once. */
  key: z.uuid(),
  who,
  text: z.string().trim().min(1, 'write something').max(MOST_NOTE_LENGTH),
}

/** The body of POST /api/zones/ID/notes. */
export const newNote = z.strictObject({
  ...signed,
  /** What the note is about, epoch ms. */
  timeMs: z.number().min(0).max(8.64e15),
})

/** The body of POST /api/zones/ID/baselines: a stretch in which the zone was right, to compare later ones with. */
export const newBaseline = z
  .strictObject({
    ...signed,
    fromMs: z.number().min(0).max(8.64e15),
    toMs: z.number().min(0).max(8.64e15),
  })
  .refine(({ fromMs, toMs }) => toMs - fromMs >= 1000, 'the stretch must be at least a second long')

/** What stands in `data` of the events that come of them. */
export const baselineData = z.object({ key: z.string(), fromMs: z.number(), toMs: z.number() })

export type NewNote = z.infer<typeof newNote>
export type NewBaseline = z.infer<typeof newBaseline>
