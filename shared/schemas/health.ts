import { z } from 'zod'
import { QUALITY_CODES } from '../quality.ts'
import { REGISTER_ORDERS, REGISTER_TYPES } from './config/channel.ts'
import { errorBody } from './error-body.ts'
import { forwardHealth } from './forward-status.ts'
import { recorderStatus } from './recorder.ts'

/** State of devices, channels and the config: GET /api/health and the stream's `health` message. */
export const deviceHealth = z.object({
  id: z.string(),
  name: z.string(),
  transport: z.enum(['modbus-tcp', 'modbus-rtu', 'modbus-rtu-over-tcp', 'iio', 'replay']),
  /** Where it is, in words: host:port, serial path, folder or file. */
  where: z.string(),
  state: z.enum(['starting', 'answering', 'partly', 'lost', 'ended']),
  /** Epoch ms of the last good answer; null before the first. */
  lastAnswerMs: z.number().nullable(),
  requestedHz: z.number(),
  /** Achieved full polls per second over the last 10 s; null before the first. */
  achievedHz: z.number().nullable(),
  requests: z.number(),
  answers: z.number(),
  timeouts: z.number(),
  exceptions: z.number(),
  /** Frames thrown away because they broke the protocol. */
  violations: z.number(),
  /** Answers that came after their request had been given up, and were dropped; absent when not counted. */
  lateAnswers: z.number().optional(),
  reconnects: z.number(),
  /** Ticks skipped because the one before had not ended. */
  missedTicks: z.number(),
  roundTripMs: z.object({ p50: z.number(), p99: z.number(), max: z.number() }).nullable(),
  /** Start of a poll against its absolute tick. */
  jitterMs: z.object({ p50: z.number(), p99: z.number(), max: z.number() }).nullable(),
  lastError: z.object({ code: z.string(), message: z.string(), timeMs: z.number() }).nullable(),
  plan: z.array(
    z.object({
      unitId: z.number().nullable(),
      function: z.number().nullable(),
      address: z.number().nullable(),
      count: z.number(),
      channels: z.array(z.string()),
    }),
  ),
})

const channelRegister = z.object({
  unitId: z.number(),
  function: z.number(),
  /** 0-based, as on the wire. */
  address: z.number(),
  /** 16-bit registers it takes. */
  words: z.number(),
  type: z.enum(REGISTER_TYPES),
  order: z.enum(REGISTER_ORDERS),
})

const channelHealth = z.object({
  id: z.string(),
  name: z.string(),
  device: z.string(),
  measures: z.string(),
  /** Register, IIO channel or column in words, echoing the notation of the config. */
  where: z.string(),
  /** The same for a program: which registers hold it. Null for what is not in a register; absent when not told. */
  register: channelRegister.nullable().optional(),
  code: z.enum(QUALITY_CODES),
  raw: z.number().nullable(),
  electrical: z.number().nullable(),
  electricalUnit: z.string().nullable(),
  value: z.number().nullable(),
  unit: z.string(),
  timeMs: z.number().nullable(),
  good: z.number(),
  uncertain: z.number(),
  bad: z.number(),
})

export { errorBody }

const configStatus = z.object({
  file: z.string(),
  /** SHA-256 of the text in force, first 12 hex digits. */
  revision: z.string(),
  loadedMs: z.number(),
  /** The edit that was refused while the revision above keeps running; null when none. */
  refused: z.object({ timeMs: z.number(), errors: z.array(errorBody) }).nullable(),
})

export const health = z.object({
  status: z.enum(['ok', 'degraded', 'lost']),
  version: z.string(),
  timeMs: z.number(),
  upSeconds: z.number(),
  memoryMb: z.number(),
  clients: z.number(),
  config: configStatus,
  recorder: recorderStatus,
  /** Destinations that figures and events are sent on to. Absent: not told. */
  forward: forwardHealth.optional(),
  devices: z.array(deviceHealth),
  channels: z.array(channelHealth),
  /** What keeps alarms from being known or kept; null while nothing does. Absent: not told. */
  alarms: z.object({ webhook: z.string().nullable(), notKept: z.string().nullable() }).optional(),
  /** A training machine stands behind this gateway: /api/training answers. Absent: it does not. */
  training: z.literal(true).optional(),
})

export type DeviceHealth = z.infer<typeof deviceHealth>
export type ChannelHealth = z.infer<typeof channelHealth>
export type ConfigStatus = z.infer<typeof configStatus>
export type Health = z.infer<typeof health>
