import { z } from 'zod'
import { alarmList } from '../schemas/alarms.ts'
import { errorBody, health } from '../schemas/health.ts'
import { zoneNow } from '../schemas/now.ts'
import { zoneList } from '../schemas/zones.ts'
import { expectedMessage } from './expected.ts'

/** First message to a page: who speaks, since when, and what there is. */
const helloMessage = z.object({
  type: z.literal('hello'),
  version: z.string(),
  /** Changes on every start of the gateway: sequence numbers begin anew. */
  bootId: z.string(),
  timeMs: z.number(),
  /** Changes with the config: zones and columns may differ from the hello before. */
  revision: z.string(),
  zones: zoneList,
})
/** Statistics and verdicts of every zone, about four times a second. */
const nowMessage = z.object({ type: z.literal('now'), timeMs: z.number(), zones: z.array(zoneNow) })
/** Devices, channels and config, once a second and on every change of state. */
const healthMessage = z.object({ type: z.literal('health'), health })
/** Every alarm as it stands, on every transition and once a second. */
const alarmsMessage = z.object({ type: z.literal('alarms'), alarms: alarmList })
/** Samples this client did not get because it was too slow; it may ask for them with `missed`. */
const droppedMessage = z.object({
  type: z.literal('dropped'),
  zone: z.string(),
  samples: z.number(),
  firstSeq: z.number(),
  lastSeq: z.number(),
})
/** The backlog asked for has been sent up to this batch. */
const caughtUpMessage = z.object({ type: z.literal('caught-up'), zone: z.string(), seq: z.number() })
/** What the client sent was refused. */
const refusedMessage = z.object({ type: z.literal('refused'), error: errorBody })

export const serverMessage = z.discriminatedUnion('type', [
  helloMessage,
  nowMessage,
  healthMessage,
  alarmsMessage,
  expectedMessage,
  droppedMessage,
  caughtUpMessage,
  refusedMessage,
])

/** Client: after `hello`; `afterSeq` asks only for what came after it (same bootId), else the whole backlog comes. */
const subscribeMessage = z.strictObject({
  type: z.literal('subscribe'),
  zones: z.array(z.strictObject({ zone: z.string().max(48), afterSeq: z.int().min(0).optional() })).max(64),
})
/** Client: batches `fromSeq`–`toSeq` were not received; send them again if they are still kept. */
const missedMessage = z.strictObject({
  type: z.literal('missed'),
  zone: z.string().max(48),
  fromSeq: z.int().min(0),
  toSeq: z.int().min(0),
})
export const clientMessage = z.discriminatedUnion('type', [subscribeMessage, missedMessage])

export type HelloMessage = z.infer<typeof helloMessage>
export type NowMessage = z.infer<typeof nowMessage>
export type HealthMessage = z.infer<typeof healthMessage>
export type AlarmsMessage = z.infer<typeof alarmsMessage>
export type DroppedMessage = z.infer<typeof droppedMessage>
export type CaughtUpMessage = z.infer<typeof caughtUpMessage>
export type ServerMessage = z.infer<typeof serverMessage>
export type ClientMessage = z.infer<typeof clientMessage>
