import { parseAddress, registerNotation } from '../../../lib/codec/address.ts'
import { WORDS } from '../../../lib/codec/types.ts'
import type { ChannelConfig, DeviceConfig, RegisterConfig } from '../../../shared/schemas/config.ts'
import { type Finding, unknownName, wrong, wrongKey } from '../finding.ts'
import { didYouMean } from '../nearest.ts'
import { isWritten, type Part, type Parts } from '../parts.ts'
import { list } from '../words.ts'

const PLACES = ['register', 'iio_channel', 'column'] as const
type PlaceKey = (typeof PLACES)[number]

/** Where a channel of each transport says its value is. */
const PLACE_OF: Record<DeviceConfig['transport'], PlaceKey> = {
  'modbus-tcp': 'register',
  'modbus-rtu': 'register',
  'modbus-rtu-over-tcp': 'register',
  iio: 'iio_channel',
  replay: 'column',
}

/** Every channel names a device of the file and says, in that device's way, where its value is. */
export function checkChannelPlaces({ channels, devices, written }: Parts): Finding[] {
  const byId = new Map(devices.map(({ value }) => [value.id, value]))
  const names = written.devices.map(({ value }) => value)
  return channels.flatMap((channel) => {
    const { value, path } = channel
    const device = byId.get(value.device)
    if (device !== undefined) return [...placeKeys(channel, device), ...registerRules(channel, device)]
    if (isWritten(value.device, names)) return []
    const known = didYouMean(value.device, names) || `; the devices here are ${list(names, 'and') || 'none'}`
    return [unknownName([...path, 'device'], `channel ${value.id}: there is no device ${value.device}${known}`)]
  })
}

function placeKeys({ value, path }: Part<ChannelConfig>, device: DeviceConfig): Finding[] {
  const wanted = PLACE_OF[device.transport]
  const why = `device ${device.id} is ${device.transport}`
  const extra = PLACES.filter((key) => key !== wanted && value[key] !== undefined).map((key) =>
    wrongKey([...path, key], `channel ${value.id}: ${key} does not fit, ${why}; its channels have ${wanted}`),
  )
  if (value[wanted] !== undefined) return extra
  return [...extra, wrong(path, `channel ${value.id}: ${wanted} is missing; ${why}`)]
}

function registerRules({ value: channel, path }: Part<ChannelConfig>, device: DeviceConfig): Finding[] {
  const { register } = channel
  if (register === undefined || PLACE_OF[device.transport] !== 'register') return []
  const say = (key: string, message: string) => wrong([...path, 'register', key], `channel ${channel.id}: ${message}`)
  return [...broadcast(register, device, say), ...addressRules(register, say)]
}

type Say = (key: string, message: string) => Finding

/**
 * @source MODBUS over Serial Line V1.02 §2.2: address 0 is the broadcast, which nobody answers.
 * On TCP it is an ordinary way to mean the server itself (Modbus Messaging on TCP/IP V1.0b §4.4.2.1).
 */
function broadcast(register: RegisterConfig, device: DeviceConfig, say: Say): Finding[] {
  if (register.unit_id !== 0 || device.transport === 'modbus-tcp') return []
  return [say('unit_id', 'unit_id 0 is the broadcast of a serial line, which no device answers; expected 1 to 247')]
}

function addressRules(register: RegisterConfig, say: Say): Finding[] {
  const { address, function: fn, type } = register
  let parsed: ReturnType<typeof parseAddress>
  try {
    parsed = parseAddress(address)
  } catch (error) {
    if (!(error instanceof RangeError)) throw error
    return [say('address', error.message)]
  }
  const findings: Finding[] = []
  if (parsed.function !== null && parsed.function !== fn) findings.push(say('address', mismatch(register, parsed)))
  if (parsed.offset + WORDS[type] > 65_536)
    findings.push(say('address', `a ${type} at offset ${parsed.offset} would end past the last register (65535)`))
  return findings
}

const KIND = { 3: 'holding', 4: 'input' } as const

function mismatch(register: RegisterConfig, parsed: { function: 3 | 4 | null; offset: number }): string {
  const meant = parsed.function ?? register.function
  const other = registerNotation(register.function, parsed.offset)
  return (
    `address "${register.address}" is read as ${KIND[meant]} register, offset ${parsed.offset}, function ${meant}, ` +
    `but function is ${register.function} (${KIND[register.function]}): ` +
    `write function: ${meant} or leave it out, or "${other}" for the ${KIND[register.function]} register`
  )
}
