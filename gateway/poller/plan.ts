import { parseAddress } from '../../lib/codec/address.ts'
import { WORDS } from '../../lib/codec/types.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { ChannelConfig, Config, DeviceConfig, ModbusDeviceConfig } from '../../shared/schemas/config.ts'
import { joinNeighbours, type Placed, togetherByPairs } from './merge.ts'
import type { DevicePlan, PlannedItem, PlannedRequest } from './types.ts'

type Pair = DevicePlan['pairs'][number]

/** First register address that does not exist (Modbus Application Protocol V1.1b3 §4.4: 0 to 65535). */
const REGISTERS = 0x1_0000

/**
 * Which requests read the channels of a config: made once, before anything is connected.
 *
 * Modbus: the channels of each unit and function, adjacent registers merged over gaps of up to
 * `merge_gap` registers into requests of up to `merge_max`. A value is never split (a 32-bit value
 * is one request even where `merge_max` is 1). The two sides of a zone share a request whenever
 * their span fits `merge_max`, whatever the gap between them, so that both sides have one instant.
 * IIO and replay: one request a device, one item a channel.
 *
 * Same order of devices as the config; a device without channels has no requests.
 * Throws EVP_CONFIG_INVALID where a channel does not say where it is, or a value ends past the
 * last register.
 */
export function planRequests(config: Config): DevicePlan[] {
  return config.devices.map((device) => planDevice(device, config))
}

function planDevice(device: DeviceConfig, config: Config): DevicePlan {
  const channels = config.channels.filter((channel) => channel.device === device.id)
  const pairs = pairsAmong(new Set(channels.map((channel) => channel.id)), config)
  return { device, pairs, requests: channels.length === 0 ? [] : requestsOf(device, channels, pairs) }
}

function requestsOf(
  device: DeviceConfig,
  channels: readonly ChannelConfig[],
  pairs: readonly Pair[],
): readonly PlannedRequest[] {
  switch (device.transport) {
    case 'modbus-tcp':
    case 'modbus-rtu':
    case 'modbus-rtu-over-tcp':
      return modbusRequests(device, channels, pairs)
    case 'iio':
      return [listRequest(channels, (channel) => channel.iio_channel, 'iio_channel')]
    case 'replay':
      return [listRequest(channels, (channel) => channel.column, 'column')]
  }
}

function pairsAmong(ids: ReadonlySet<string>, config: Config): Pair[] {
  return config.zones.flatMap(({ cells }) =>
    'single' in cells || !ids.has(cells.drive_side) || !ids.has(cells.operator_side)
      ? []
      : [[cells.drive_side, cells.operator_side] as const],
  )
}

function listRequest(
  channels: readonly ChannelConfig[],
  sourceOf: (channel: ChannelConfig) => string | undefined,
  key: string,
): PlannedRequest {
  const items = channels.map((channel, offset): PlannedItem => {
    const source = sourceOf(channel)
    if (source === undefined) throw incomplete(channel, key)
    return { channelId: channel.id, offset, words: 1, source }
  })
  return { unitId: null, function: null, address: null, count: items.length, items }
}

/** A channel with its place on the wire. */
interface PlacedChannel extends Placed {
  readonly unitId: number
  readonly function: 3 | 4
  readonly words: 1 | 2
}

function modbusRequests(
  device: ModbusDeviceConfig,
  channels: readonly ChannelConfig[],
  pairs: readonly Pair[],
): PlannedRequest[] {
  const limits = { gap: device.merge_gap, count: device.merge_max }
  return groupBySpace(channels.map(placeChannel)).flatMap((group) =>
    joinNeighbours(togetherByPairs(group, pairs, limits.count), limits).map(toRequest),
  )
}

function placeChannel(channel: ChannelConfig): PlacedChannel {
  const { register } = channel
  if (register === undefined) throw incomplete(channel, 'register')
  // Notation such as "40001" says which function it means; a bare offset takes the `function` key.
  const parsed = parseAddress(register.address)
  const words = WORDS[register.type]
  const end = parsed.offset + words
  if (end > REGISTERS)
    throw new EvenpullError(
      'EVP_CONFIG_INVALID',
      `channel ${channel.id}: ${register.type} at ${register.address} takes ${words} registers and ends past the last one, 65535`,
    )
  return {
    id: channel.id,
    unitId: register.unit_id,
    function: parsed.function ?? register.function,
    start: parsed.offset,
    end,
    words,
  }
}

/** Only registers of one unit and one function can share a request. */
function groupBySpace(placed: readonly PlacedChannel[]): PlacedChannel[][] {
  const groups = new Map<number, PlacedChannel[]>()
  for (const channel of placed) {
    const key = channel.unitId * 8 + channel.function
    const group = groups.get(key)
    if (group === undefined) groups.set(key, [channel])
    else group.push(channel)
  }
  return [...groups.entries()].sort(([a], [b]) => a - b).map(([, group]) => group)
}

function toRequest(run: readonly PlacedChannel[]): PlannedRequest {
  const sorted = [...run].sort((a, b) => a.start - b.start || a.end - b.end)
  const [first] = sorted
  if (first === undefined) throw new RangeError('a request needs at least one channel')
  return {
    unitId: first.unitId,
    function: first.function,
    address: first.start,
    count: Math.max(...sorted.map((channel) => channel.end)) - first.start,
    items: sorted.map(({ id, start, words }) => ({ channelId: id, offset: start - first.start, words, source: null })),
  }
}

function incomplete(channel: ChannelConfig, key: string): EvenpullError {
  return new EvenpullError(
    'EVP_CONFIG_INVALID',
    `channel ${channel.id}: "${key}" is missing; device ${channel.device} needs it`,
  )
}
