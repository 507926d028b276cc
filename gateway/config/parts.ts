import type { z } from 'zod'
import { channel } from '../../shared/schemas/config/channel.ts'
import { device } from '../../shared/schemas/config/device.ts'
import { forward } from '../../shared/schemas/config/forward.ts'
import { zone } from '../../shared/schemas/config/zone.ts'
import type { ChannelConfig, DeviceConfig, ForwardConfig, ZoneConfig } from '../../shared/schemas/config.ts'
import type { ConfigPath } from './finding.ts'
import { valueAt } from './json-schema.ts'

/** One item of a list that is right by itself, and where it stands. */
export interface Part<T> {
  readonly value: T
  readonly path: ConfigPath
}

/**
 * What the cross-check works on: every item that is right by itself, even when others are not,
 * so that one run tells everything that is wrong. `written` holds every id in the file, also of
 * items that are wrong: naming one of those is no second error.
 */
export interface Parts {
  readonly devices: readonly Part<DeviceConfig>[]
  readonly channels: readonly Part<ChannelConfig>[]
  readonly zones: readonly Part<ZoneConfig>[]
  /** Where messages are sent on to; null when that is wrong by itself. */
  readonly forward: ForwardConfig | null
  readonly place: { readonly plant: string | null; readonly line: string | null }
  readonly written: Readonly<Record<'devices' | 'channels' | 'zones', readonly Part<string>[]>>
}

/** Takes plain data apart; items that are wrong are left out. */
export function partsOf(value: unknown): Parts {
  return {
    devices: rightOnes(value, 'devices', device),
    channels: rightOnes(value, 'channels', channel).map((part) => asNotated(part, value)),
    zones: rightOnes(value, 'zones', zone),
    forward: rightOne(valueAt(value, ['forward']) ?? {}),
    place: { plant: text(value, 'plant'), line: text(value, 'line') },
    written: { devices: ids(value, 'devices'), channels: ids(value, 'channels'), zones: ids(value, 'zones') },
  }
}

function rightOne(value: unknown): ForwardConfig | null {
  const parsed = forward.safeParse(value)
  return parsed.success ? parsed.data : null
}

function text(value: unknown, key: string): string | null {
  const found = valueAt(value, [key])
  return typeof found === 'string' ? found : null
}

/** The schema allows no list to be longer; one that is gets refused for it, and its rest is not looked at. */
const LONGEST_LIST = 512

function items(value: unknown, key: string): readonly Part<unknown>[] {
  const found = valueAt(value, [key])
  if (!Array.isArray(found)) return []
  return found.slice(0, LONGEST_LIST).map((item: unknown, index) => ({ value: item, path: [key, index] }))
}

function rightOnes<T>(value: unknown, key: string, schema: z.ZodType<T>): Part<T>[] {
  return items(value, key).flatMap((item) => {
    const parsed = schema.safeParse(item.value)
    return parsed.success ? [{ value: parsed.data, path: item.path }] : []
  })
}

/** A register written as "40001" says its function by itself; without the key it is that one. */
function asNotated(part: Part<ChannelConfig>, value: unknown): Part<ChannelConfig> {
  const { register } = part.value
  if (register === undefined || typeof register.address === 'number') return part
  if (valueAt(value, [...part.path, 'register', 'function']) !== undefined) return part
  const fn = register.address.startsWith('3') ? 4 : 3
  return { ...part, value: { ...part.value, register: { ...register, function: fn } } }
}

function ids(value: unknown, key: string): Part<string>[] {
  return items(value, key).flatMap((item) => {
    const id = valueAt(item.value, ['id'])
    return typeof id === 'string' ? [{ value: id, path: item.path }] : []
  })
}

/** Whether a name is in the file at all: an id that is refused for its capitals is not missing besides. */
export function isWritten(name: string, written: readonly string[]): boolean {
  return written.some((id) => id.toLowerCase() === name.toLowerCase())
}
