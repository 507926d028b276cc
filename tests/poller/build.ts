import type { PlannedItem, PlannedRequest } from '../../gateway/poller/types.ts'
import { type Config, type ConfigInput, configSchema } from '../../shared/schemas/config.ts'

/** A config of one Modbus TCP device, from registers in short form. */
export function modbusConfig(options: {
  device?: Partial<Record<'merge_gap' | 'merge_max' | 'rate_hz', number>>
  channels: readonly { id: string; register: NonNullable<ConfigInput['channels'][number]['register']> }[]
  pairs?: readonly (readonly [string, string])[]
}): Config {
  const first = options.channels[0]?.id ?? ''
  const pairs = options.pairs ?? []
  return configSchema.parse({
    version: 1,
    devices: [{ id: 'amp', transport: 'modbus-tcp', host: '127.0.0.1', ...options.device }],
    channels: options.channels.map(({ id, register }) => ({ id, device: 'amp', register })),
    zones: [
      ...pairs.map(([drive_side, operator_side], i) => ({ id: `zone-${i}`, cells: { drive_side, operator_side } })),
      ...(pairs.length === 0 ? [{ id: 'zone-single', cells: { single: first } }] : []),
    ],
  } satisfies ConfigInput)
}

/** A Modbus request from `[channel, offset, words]` rows. */
export function request(address: number, rows: readonly (readonly [string, number, 1 | 2])[]): PlannedRequest {
  const items = rows.map(([channelId, offset, words]): PlannedItem => ({ channelId, offset, words, source: null }))
  const count = Math.max(...items.map((item) => item.offset + item.words))
  return { unitId: 1, function: 4, address, count, items }
}
