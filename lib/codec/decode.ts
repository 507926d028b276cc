import type { RegisterOrder, RegisterType } from '../../shared/schemas/config.ts'
import { order16, order32 } from './byte-order.ts'
import { WORDS } from './types.ts'

const scratch = new DataView(new ArrayBuffer(4))

/**
 * The number that registers hold.
 *
 * @param words registers as 16-bit unsigned numbers; null where one was not read
 * @param offset index of the value's first register in `words`
 * @returns the value; null when a register of it is missing; NaN or ±Infinity when a float32 says so
 * @source Modbus Application Protocol V1.1b3 §4.2 (big-endian registers); IEEE 754-2019 binary32
 */
export function decodeRegister(
  words: readonly (number | null)[],
  offset: number,
  type: RegisterType,
  order: RegisterOrder,
): number | null {
  const first = words[offset] ?? null
  if (first === null) return null
  if (WORDS[type] === 1) {
    scratch.setUint16(0, order16(first, order))
    return type === 'int16' ? scratch.getInt16(0) : scratch.getUint16(0)
  }
  const second = words[offset + 1] ?? null
  if (second === null) return null
  const [high, low] = order32(first, second, order)
  scratch.setUint16(0, high)
  scratch.setUint16(2, low)
  if (type === 'float32') return scratch.getFloat32(0)
  return type === 'int32' ? scratch.getInt32(0) : scratch.getUint32(0)
}
