import { z } from 'zod'
import { ALARM_STATES, FLOOD_LEVELS, PRIORITIES, STANDINGS } from '../alarms.ts'
import { who } from './config-write.ts'

/**
 * Alarms as they stand: the body of GET /api/alarms and of the stream's `alarms` message. All values are SI; what is
 * not known is null.
 */

/** What an alarm saw: at its announcement, and now. No value without its limit and the sentence of its verdict. */
export const alarmReading = z.object({
  value: z.number().nullable(),
  unit: z.string(),
  /** Expanded uncertainty, about 95 %; null where there is none (a device answers or does not). */
  U: z.number().nullable(),
  /** Half of the band about its target that counts as inside; null where the condition is not a limit. */
  limit: z.number().nullable(),
  limitSource: z.string().nullable(),
  sentence: z.string(),
  /** Epoch ms of the newest sample in it; null when there is none. */
  timeMs: z.number().nullable(),
})

export const alarm = z.object({
  id: z.string(),
  /** null: of the gateway itself. */
  zone: z.string().nullable(),
  zoneName: z.string().nullable(),
  /** Which key of `alarms` in the config. */
  rule: z.string(),
  /** What it looks at, and what is wrong with that while it is active: `Side difference`, `outside its limit`. */
  title: z.string(),
  wrong: z.string(),
  priority: z.enum(PRIORITIES),
  state: z.enum(ALARM_STATES),
  /** Under what a person did: also while shelved. */
  standing: z.enum(STANDINGS),
  /** When it came to that standing. */
  sinceMs: z.number(),
  /** false: somebody has still to acknowledge it. */
  acknowledged: z.boolean(),
  /** Nobody has put it aside, and it waits for a person. */
  asksForNotice: z.boolean(),
  acknowledgedBy: z.object({ who: z.string(), atMs: z.number() }).nullable(),
  /** When the condition began, and when it was announced; null while nothing is, or was, wrong. */
  occurrence: z.object({ beganMs: z.number(), announcedMs: z.number() }).nullable(),
  shelved: z.object({ who: z.string(), reason: z.string(), atMs: z.number(), untilMs: z.number() }).nullable(),
  outOfService: z.object({ who: z.string(), reason: z.string(), atMs: z.number() }).nullable(),
  /** It was the first of its group since that was last all clear. */
  firstOut: z.boolean(),
  latched: z.boolean(),
  now: alarmReading.nullable(),
  announced: alarmReading.nullable(),
})

/** An alarm that does not exist, and why: nobody should miss it without knowing. */
const alarmOff = z.object({
  id: z.string(),
  zone: z.string().nullable(),
  zoneName: z.string().nullable(),
  title: z.string(),
  why: z.string(),
})

const alarmFlood = z.object({
  announced: z.int(),
  positions: z.int(),
  perPosition: z.number(),
  level: z.enum(FLOOD_LEVELS),
  windowMs: z.number(),
  /** Announcements per 10 min and position up to which each word holds, and where that is from. */
  limits: z.array(z.object({ level: z.enum(FLOOD_LEVELS), upTo: z.number() })),
  source: z.string(),
})

const webhookState = z.object({
  /** Host it goes to; the rest of the address may be a secret. */
  host: z.string(),
  /** `failing`: the newest attempt did not arrive, and is tried again. */
  state: z.enum(['idle', 'sending', 'failing']),
  delivered: z.int(),
  waiting: z.int(),
  /** Given up: the receiver refused them, or too many waited. */
  dropped: z.int(),
  /** In words; null since something arrived last. */
  lastError: z.string().nullable(),
})

export const alarmList = z.object({
  timeMs: z.number(),
  /** By what a person has to look at first. */
  alarms: z.array(alarm),
  off: z.array(alarmOff),
  counts: z.object({
    asking: z.int(),
    active: z.int(),
    unknown: z.int(),
    shelved: z.int(),
    outOfService: z.int(),
    off: z.int(),
    /** Highest priority of those that ask or are active and not put aside. */
    highest: z.enum(PRIORITIES).nullable(),
  }),
  flood: alarmFlood,
  longestShelvingMinutes: z.number(),
  /** null: none is configured. */
  webhook: webhookState.nullable(),
  /** Why a restart would forget what people did to alarms; null while it is kept. */
  notKept: z.string().nullable(),
})

/** Goes to the log: a line end in it would begin a line that nobody wrote. */
const reason = z
  .string()
  .trim()
  .min(1, 'say why')
  .max(200)
  .refine((text) => !/[\p{Cc}\p{Zl}\p{Zp}]/u.test(text), 'a reason is one line, without control characters')
export const alarmSigned = z.strictObject({ who })
export const alarmTakenOut = z.strictObject({ who, reason })
export const alarmShelving = z.strictObject({
  who,
  reason,
  minutes: z
    .number()
    .min(1)
    .max(72 * 60)
    .describe('At most alarms.longest_shelving_h of the config'),
})

export type AlarmReading = z.infer<typeof alarmReading>
export type Alarm = z.infer<typeof alarm>
export type AlarmOff = z.infer<typeof alarmOff>
export type AlarmFlood = z.infer<typeof alarmFlood>
export type WebhookState = z.infer<typeof webhookState>
export type AlarmList = z.infer<typeof alarmList>
export type AlarmShelving = z.infer<typeof alarmShelving>
