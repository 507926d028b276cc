import { z } from 'zod'
import { QUALITY_CODES } from '../quality.ts'
import { alarm } from './alarms.ts'
import { storedEvent } from './events.ts'
import { deviceHealth } from './health.ts'
import { comparison, figure, verdict, zoneNow } from './now.ts'

/**
 * What is sent to a destination: every payload is one of these, in JSON, told apart by `kind`. All values are SI.
 * `forward.schema.json` beside this file is the same for programs that know JSON Schema.
 */
export const FORWARD_VERSION = 1

/** Head of every message. */
const head = {
  version: z.literal(FORWARD_VERSION),
  /**
   * Number of the message in its queue: grows, never used twice, goes on after a restart. The same `queue` and `seq`
   * are the same message come twice; a missing number is a message that was dropped. Null where nothing is queued.
   */
  queue: z.string().nullable(),
  seq: z.int().positive().nullable(),
  plant: z.string().nullable(),
  line: z.string().nullable(),
  /** Epoch ms: of the picture, or of what happened. Null where only the broker could know. */
  timeMs: z.number().nullable(),
  /** Epoch ms up to which a retained state may be taken for live; absent from messages that tell what was. */
  validUntilMs: z.number().optional(),
}

/** A figure without the way it was got. Without a value: null, and `waiting` says why. */
const sentFigure = figure
  .pick({ value: true, unit: true, u: true, U: true, k: true, assumed: true, limit: true, timeMs: true, waiting: true })
  .extend({ verdict: verdict.pick({ state: true, sentence: true }) })

/** The newest sample of a channel; null while it is bad, and `code` says why. */
const sentLive = z.object({
  channel: z.string(),
  value: z.number().nullable(),
  /** Expanded uncertainty from the channel's scale alone, where that tells one. */
  U: z.number().optional(),
  unit: z.string(),
  code: z.enum(QUALITY_CODES),
  timeMs: z.number().nullable(),
})

const sentSide = z.object({
  live: sentLive,
  force: sentFigure,
  tension: sentFigure.optional(),
  expected: sentFigure.optional(),
  agreement: sentFigure.optional(),
  noise: sentFigure,
  peakToPeak: sentFigure,
})

const zoneMessage = z.object({
  ...head,
  kind: z.literal('zone'),
  zone: z.string(),
  name: z.string(),
  /** Revision of the config that the figures were made by. */
  revision: z.string(),
  sides: z.object({ drive_side: sentSide, operator_side: sentSide }).or(z.object({ single: sentSide })),
  total: sentFigure,
  totalMeans: zoneNow.shape.totalMeans,
  expected: sentFigure.optional(),
  agreement: sentFigure.optional(),
  comparison: comparison.pick({ reference: true, percent: true, en: true }).optional(),
  driftOfResidual: sentFigure.optional(),
  imbalance: sentFigure.optional(),
  lineOfPull: sentFigure.optional(),
  driftOfSideDifference: sentFigure.optional(),
  rateOfTotal: sentFigure,
  steady: zoneNow.shape.steady,
  aux: z
    .object({
      speed: sentLive,
      roller_speed: sentLive,
      reference: sentLive,
      temperature: sentLive,
      neighbour: sentLive,
    })
    .partial(),
})

const deviceMessage = z.object({ ...head, kind: z.literal('device'), device: deviceHealth.omit({ plan: true }) })

const eventMessage = z.object({
  ...head,
  kind: z.literal('event'),
  /** `id` is null for what happened while nothing could be recorded. */
  event: storedEvent.extend({ id: z.int().positive().nullable() }),
})

const alarmsMessage = z.object({
  ...head,
  kind: z.literal('alarms'),
  /** Every alarm that is not normal. */
  alarms: z.array(alarm),
  counts: z.object({ normal: z.int(), asking: z.int(), active: z.int(), unknown: z.int(), off: z.int() }),
})

const statusMessage = z.object({
  ...head,
  kind: z.literal('status'),
  /** `lost` is the last will: the connection broke without a farewell. */
  state: z.enum(['online', 'stopped', 'lost']),
  sentence: z.string(),
  /** Version of the gateway. */
  gateway: z.string(),
  /** Of the connection that this tells about. */
  connectedMs: z.number(),
  /** Whether messages wait for a broker that is away, and how many do now. */
  queued: z.int().nullable(),
  dropped: z.int(),
})

export const forwardMessage = z.discriminatedUnion('kind', [
  zoneMessage,
  deviceMessage,
  eventMessage,
  alarmsMessage,
  statusMessage,
])

/** What the destination is told of one thing, without the head that is put on when it goes out. */
type Body<T> = Omit<T, 'version' | 'queue' | 'seq' | 'validUntilMs'>
export type ZoneBody = Body<z.infer<typeof zoneMessage>>
export type DeviceBody = Body<z.infer<typeof deviceMessage>>
export type EventBody = Body<z.infer<typeof eventMessage>>
export type AlarmsBody = Body<z.infer<typeof alarmsMessage>>
export type StatusBody = Body<z.infer<typeof statusMessage>>
export type MessageBody = ZoneBody | DeviceBody | EventBody | AlarmsBody | StatusBody
