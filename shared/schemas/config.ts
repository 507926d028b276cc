import { z } from 'zod'
import { gatewayAlarms, type webhook, type zoneAlarms } from './config/alarms.ts'
import {
  channel,
  type forceScale,
  type REGISTER_ORDERS,
  type REGISTER_TYPES,
  type register,
  type valueScale,
} from './config/channel.ts'
import { device } from './config/device.ts'
import { forward } from './config/forward.ts'
import { positive } from './config/parts.ts'
import { recorder } from './config/recorder.ts'
import { training } from './config/training.ts'
import { zone } from './config/zone.ts'

/**
 * The one config file: devices → channels → zones → limits.
 *
 * Units stand in the keys (`cell_distance_m`) or beside the number (`unit: N`). Defaults that are
 * common practice without a source are marked "common practice". References between the parts and rules that
 * need more than one key are checked in gateway/config, where line and column are known.
 */
export const configSchema = z.strictObject({
  version: z.literal(1).describe('Version of this file format'),
  plant: z.string().min(1).max(80).optional(),
  line: z.string().min(1).max(80).optional(),
  gateway: z
    .strictObject({
      host: z.string().min(1).default('127.0.0.1').describe('Address to bind; anything but loopback needs users'),
      names: z
        .array(z.string().regex(/^[A-Za-z0-9]([A-Za-z0-9.-]{0,251}[A-Za-z0-9])?$/, 'a host name, without port'))
        .max(20)
        .optional()
        .describe('Further names that people type to reach it; a request under any other name is refused'),
      port: z.int().min(0).max(65_535).default(8420).describe('0 takes a free port and prints it'),
      tls: z
        .strictObject({ cert: z.string().min(1), key: z.string().min(1) })
        .optional()
        .describe('PEM files, relative to the config: the gateway then speaks HTTPS alone; read at the start'),
      session: z
        .strictObject({
          idle_minutes: positive
            .max(60 * 24 * 30)
            .default(480)
            .describe('A log-in ends after this long without a request; a shift (common practice); read at the start'),
          longest_hours: positive
            .max(24 * 365)
            .default(168)
            .describe('… and after this long in any case (common practice)'),
        })
        .prefault({}),
    })
    .prefault({}),
  recorder: recorder.prefault({}).describe('What is kept, where, and for how long'),
  devices: z.array(device).min(1).max(64),
  channels: z.array(channel).min(1).max(512),
  zones: z.array(zone).min(1).max(64),
  forward: forward.prefault({}).describe('Where figures, verdicts, alarms and events are sent on to'),
  alarms: gatewayAlarms.prefault({}).describe('Alarms of the gateway itself; those of a zone stand in the zone'),
  training: training.optional().describe('The training desk of a simulated machine; absent at a real one'),
})

/** The file as written, before defaults. */
export type ConfigInput = z.input<typeof configSchema>
/** The file with every default filled in. */
export type Config = z.output<typeof configSchema>
export type DeviceConfig = z.output<typeof device>
export type ModbusDeviceConfig = Extract<DeviceConfig, { transport: `modbus-${string}` }>
export type ChannelConfig = z.output<typeof channel>
export type RegisterConfig = z.output<typeof register>
export type ForceScale = z.output<typeof forceScale>
export type ValueScale = z.output<typeof valueScale>
export type ZoneConfig = z.output<typeof zone>
export type AlarmConfig = z.output<typeof zoneAlarms>['agreement']
export type ForwardConfig = z.output<typeof forward>
export type WebhookConfig = z.output<typeof webhook>
export type Limit = { readonly value: number; readonly source: string }
export type RegisterType = (typeof REGISTER_TYPES)[number]
export type RegisterOrder = (typeof REGISTER_ORDERS)[number]
