import { readMonotonic } from '../../../gateway/clock.ts'
import type { PlannedRequest } from '../../../gateway/poller/types.ts'
import type { ModbusDeviceConfig } from '../../../shared/schemas/config.ts'

const TIMEOUT_MS: number = 150
const base = { id: 'amp', rate_hz: 10, merge_gap: 4, merge_max: 100 } as const

export function tcpDevice(port: number, timeoutMs = TIMEOUT_MS): ModbusDeviceConfig {
  return { ...base, timeout_ms: timeoutMs, transport: 'modbus-tcp', host: '127.0.0.1', port }
}

export function rtuOverTcpDevice(port: number, timeoutMs = TIMEOUT_MS): ModbusDeviceConfig {
  return { ...base, timeout_ms: timeoutMs, transport: 'modbus-rtu-over-tcp', host: '127.0.0.1', port }
}

/** At 115200 8E1. */
export function rtuDevice(path: string, timeoutMs = TIMEOUT_MS): ModbusDeviceConfig {
  const serial = { path, baud: 115_200, parity: 'even', data_bits: 8, stop_bits: 1 } as const
  return { ...base, ...serial, timeout_ms: timeoutMs, transport: 'modbus-rtu' }
}

/** A read of `count` registers with one channel at its start. */
export function readOf(address: number, count: number, unitId = 1, code: 3 | 4 = 4): PlannedRequest {
  const items = [{ channelId: 'force', offset: 0, words: 1, source: null }] as const
  return { unitId, function: code, address, count, items }
}

/** Milliseconds `work` took. */
export async function timed(work: () => Promise<unknown>): Promise<number> {
  const begin = readMonotonic()
  await work()
  return readMonotonic() - begin
}
