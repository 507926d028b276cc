import { z } from 'zod'
import { id, positive } from './parts.ts'

const port = z.int().min(1).max(65535)

const deviceBase = {
  id,
  name: z.string().min(1).max(80).optional().describe('What people call it; the id when absent'),
  rate_hz: positive.max(1000).default(10).describe('Polls per second of every request of this device'),
}
const modbusBase = {
  ...deviceBase,
  timeout_ms: z.int().min(5).max(10_000).default(250).describe('Longest wait for one answer'),
  merge_gap: z.int().min(0).max(120).default(4).describe('Registers read and thrown away to merge two neighbours'),
  merge_max: z.int().min(1).max(125).default(100).describe('Most registers in one request'),
}

export const modbusTcpDevice = z.strictObject({
  ...modbusBase,
  transport: z.literal('modbus-tcp'),
  host: z.string().min(1),
  port: port.default(502),
})
export const modbusRtuOverTcpDevice = z.strictObject({
  ...modbusBase,
  transport: z.literal('modbus-rtu-over-tcp'),
  host: z.string().min(1),
  port,
})
export const modbusRtuDevice = z.strictObject({
  ...modbusBase,
  transport: z.literal('modbus-rtu'),
  path: z.string().min(1).describe('Serial device, for example /dev/ttyUSB0'),
  baud: z.int().min(300).max(921_600).default(19_200),
  parity: z.enum(['none', 'even', 'odd']).default('even'),
  data_bits: z.literal([7, 8]).default(8),
  stop_bits: z.literal([1, 2]).default(1),
})
const iioDevice = z.strictObject({
  ...deviceBase,
  transport: z.literal('iio'),
  root: z.string().min(1).default('/sys/bus/iio/devices'),
  device: z.string().min(1).describe('Folder under the root, for example iio:device0'),
})
const replayDevice = z.strictObject({
  ...deviceBase,
  transport: z.literal('replay'),
  file: z.string().min(1).describe('CSV file, relative to the config file'),
  speed: z
    .union([z.number().min(1), z.literal('max')])
    .default(1)
    .describe('1 is as recorded, 10 ten times as fast, max as fast as it goes; times keep their recorded spacing'),
  repeat: z.boolean().default(false),
})
export const device = z.discriminatedUnion('transport', [
  modbusTcpDevice,
  modbusRtuDevice,
  modbusRtuOverTcpDevice,
  iioDevice,
  replayDevice,
])
