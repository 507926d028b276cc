import type { DeviceConfig } from '../../../shared/schemas/config.ts'
import { type Finding, wrong } from '../finding.ts'
import type { Part, Parts } from '../parts.ts'

/** Rules of one device and between devices. */
export function checkDevices({ devices }: Parts): Finding[] {
  return [...devices.flatMap(sevenBits), ...sharedLines(devices)]
}

/** @source MODBUS over Serial Line V1.02 §2.5.1: RTU sends 8 data bits; 7 belong to ASCII mode. */
function sevenBits({ value, path }: Part<DeviceConfig>): Finding[] {
  if (value.transport !== 'modbus-rtu' || value.data_bits === 8) return []
  const message = `device ${value.id}: data_bits: Modbus RTU sends 8 data bits (7 belong to Modbus ASCII), got 7`
  return [wrong([...path, 'data_bits'], message)]
}

/** Two masters on one physical line take each other's answers. */
function sharedLines(devices: readonly Part<DeviceConfig>[]): Finding[] {
  const holders = new Map<string, string>()
  return devices.flatMap(({ value, path }) => {
    const line = lineOf(value)
    if (line === null) return []
    const holder = holders.get(line.name)
    if (holder === undefined) holders.set(line.name, value.id)
    if (holder === undefined) return []
    const message =
      `device ${value.id}: ${line.name} is already the line of device ${holder}; a line has one master: ` +
      'put the channels of both on one device and tell them apart by unit_id'
    return [wrong([...path, line.key], message)]
  })
}

function lineOf(device: DeviceConfig): { name: string; key: string } | null {
  if (device.transport === 'modbus-rtu') return { name: device.path, key: 'path' }
  if (device.transport === 'modbus-rtu-over-tcp') return { name: `${device.host}:${device.port}`, key: 'host' }
  return null
}
