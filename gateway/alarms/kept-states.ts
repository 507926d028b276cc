import { z } from 'zod'
import { STANDINGS } from '../../shared/alarms.ts'
import { alarmReading } from '../../shared/schemas/alarms.ts'

const signedAt = { who: z.string(), reason: z.string(), atMs: z.number() }

const memory = z.object({
  standing: z.enum(STANDINGS),
  known: z.enum(STANDINGS).exclude(['unknown']),
  sinceMs: z.number(),
  acknowledged: z.boolean(),
  acknowledgedBy: z.object({ who: z.string(), atMs: z.number() }).nullable(),
  occurrence: z.object({ beganMs: z.number(), announcedMs: z.number() }).nullable(),
  shelved: z.object({ ...signedAt, untilMs: z.number() }).nullable(),
  outOfService: z.object(signedAt).nullable(),
})

/** What alarms remember across a restart. */
export const keptStates = z.object({
  version: z.literal(1),
  alarms: z.record(z.string(), z.object({ memory, announced: alarmReading.nullable() })),
  firstOut: z.record(z.string(), z.object({ ids: z.array(z.string()).readonly(), beganMs: z.number() })),
  /** Announcements of the newest 10 min. */
  announcedMs: z.array(z.number()),
  /** What waited for the webhook: for this host alone, which the config may have changed meanwhile. */
  undelivered: z
    .object({ host: z.string(), messages: z.array(z.string()).readonly() })
    .nullable()
    .default(null),
})
export type KeptStates = z.infer<typeof keptStates>

export const NOTHING_KEPT: KeptStates = { version: 1, alarms: {}, firstOut: {}, announcedMs: [], undelivered: null }

/** Where states are kept. */
export interface StateKeeper {
  /** Nothing there, or nothing that can be read, is NOTHING_KEPT and said in the log. */
  load(): Promise<KeptStates>
  /** Rejects with the reason in words. */
  save(states: KeptStates): Promise<void>
}
