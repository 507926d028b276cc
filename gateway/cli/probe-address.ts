import { modbusRtuDevice, modbusRtuOverTcpDevice, modbusTcpDevice } from '../../shared/schemas/config/device.ts'
import type { ModbusDeviceConfig } from '../../shared/schemas/config.ts'
import type { Flags } from './command.ts'
import { choiceFlag, usage, wholeFlag } from './options.ts'

const RTU_OVER_TCP = 'rtu-over-tcp://'
const SERIAL_FLAGS = ['baud', 'parity', 'stop-bits'] as const
const DEFAULT_TIMEOUT_MS = 1000

/**
 * A device for one read, from what stands on the command line: `HOST:PORT` (Modbus TCP; port 502
 * when left out), `rtu-over-tcp://HOST:PORT`, or a serial path (it has a `/`, or is `COM` and a number).
 * An IPv6 address stands in brackets. Throws EVP_USAGE for anything else.
 */
export function probeDevice(address: string, flags: Flags): ModbusDeviceConfig {
  const base = { id: 'probe', timeout_ms: wholeFlag(flags, 'timeout', 5, 10_000) ?? DEFAULT_TIMEOUT_MS }
  if (address.startsWith(RTU_OVER_TCP)) {
    refuseSerialFlags(address, flags)
    const { host, port } = hostAndPort(address.slice(RTU_OVER_TCP.length))
    if (port === null) throw usage(`${address}: the port is missing; expected ${RTU_OVER_TCP}HOST:PORT`)
    return modbusRtuOverTcpDevice.parse({ ...base, transport: 'modbus-rtu-over-tcp', host, port })
  }
  if (address.includes('://')) throw usage(`${address}: expected HOST:PORT, ${RTU_OVER_TCP}HOST:PORT or a serial path`)
  if (address.includes('/') || /^COM\d+$/i.test(address)) return serialDevice(base, address, flags)
  refuseSerialFlags(address, flags)
  const { host, port } = hostAndPort(address)
  return modbusTcpDevice.parse({ ...base, transport: 'modbus-tcp', host, ...(port === null ? {} : { port }) })
}

function serialDevice(base: object, path: string, flags: Flags): ModbusDeviceConfig {
  const baud = wholeFlag(flags, 'baud', 300, 921_600)
  const parity = choiceFlag(flags, 'parity', ['none', 'even', 'odd'])
  const stopBits = wholeFlag(flags, 'stop-bits', 1, 2)
  return modbusRtuDevice.parse({
    ...base,
    transport: 'modbus-rtu',
    path,
    ...(baud === undefined ? {} : { baud }),
    ...(parity === undefined ? {} : { parity }),
    ...(stopBits === undefined ? {} : { stop_bits: stopBits }),
  })
}

function refuseSerialFlags(address: string, flags: Flags): void {
  const given = SERIAL_FLAGS.find((name) => flags[name] !== undefined)
  if (given !== undefined) throw usage(`--${given} belongs to a serial path, and ${address} is a network address`)
}

function hostAndPort(text: string): { host: string; port: number | null } {
  const match = /^(?:\[([0-9a-fA-F:.%\w]+)\]|([^:[\]/]+))(?::(\d{1,5}))?$/.exec(text)
  const host = match?.[1] ?? match?.[2]
  const port = match?.[3] === undefined ? null : Number(match[3])
  if (host === undefined || (port !== null && (port < 1 || port > 65_535)))
    throw usage(`${text}: expected HOST:PORT with a port from 1 to 65535 (an IPv6 address in brackets)`)
  return { host, port }
}
