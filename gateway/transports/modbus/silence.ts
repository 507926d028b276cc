import type { ModbusDeviceConfig } from '../../../shared/schemas/config.ts'

export type SerialDevice = Extract<ModbusDeviceConfig, { transport: 'modbus-rtu' }>

/** Character times of silence between RTU frames, and their fixed length on fast lines. */
const SILENT_CHARACTERS = 3.5
const FAST_LINE_BAUD = 19_200
const FAST_LINE_SILENCE_MS = 1.75

/**
 * Silence (T3.5) that separates RTU frames, ms: 3.5 characters, and 1.75 ms above 19200 baud.
 * Behind a network the baud rate is not known: 1.75 ms, besides the silence the far end keeps.
 * Modbus TCP has none: 0. Source: Modbus over Serial Line V1.02 §2.5.1.1.
 */
export function silenceMs(device: ModbusDeviceConfig): number {
  if (device.transport === 'modbus-tcp') return 0
  if (device.transport === 'modbus-rtu-over-tcp' || device.baud > FAST_LINE_BAUD) return FAST_LINE_SILENCE_MS
  return (SILENT_CHARACTERS * bitsPerCharacter(device) * 1000) / device.baud
}

/** Bits of one character on the wire: start bit, data bits, parity bit if any, stop bits. */
export function bitsPerCharacter({ data_bits, parity, stop_bits }: SerialDevice): number {
  return 1 + data_bits + (parity === 'none' ? 0 : 1) + stop_bits
}
