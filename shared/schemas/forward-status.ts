import { z } from 'zod'
import { errorBody } from './error-body.ts'

/** How sending on to one destination is: part of GET /api/health. */
export const forwardStatus = z.object({
  /** Host and port; never a name or a password. */
  where: z.string(),
  /** What every topic begins with. */
  topic: z.string(),
  /** `waiting`: for the next attempt to connect. */
  state: z.enum(['connecting', 'connected', 'waiting']),
  /** Epoch ms since when it has been connected, or not. */
  sinceMs: z.number(),
  /** One English sentence. */
  sentence: z.string(),
  /** The newest; it stays after the connection is back. */
  lastError: errorBody.extend({ timeMs: z.number() }).nullable(),
  /** Why messages do not wait for a broker that is away; null while they do. */
  liveOnly: z.string().nullable(),
  /** Messages that wait or are under way, their size and the oldest one's time; null when nothing is queued. */
  queued: z.int().nullable(),
  queuedBytes: z.int().nullable(),
  oldestMs: z.number().nullable(),
  /** Since the gateway started: taken by the broker; dropped, since too many or too old; not taken for good. */
  delivered: z.int(),
  dropped: z.int(),
  refused: z.int(),
})

/** null: the config names no such destination. */
export const forwardHealth = z.object({ mqtt: forwardStatus.nullable() })

export type ForwardStatus = z.infer<typeof forwardStatus>
export type ForwardHealth = z.infer<typeof forwardHealth>
