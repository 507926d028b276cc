import { REGISTER_ORDERS } from '../../shared/schemas/config/channel.ts'
import type { RegisterOrder, RegisterType } from '../../shared/schemas/config.ts'
import type { RegisterRow } from '../../shared/schemas/register-view.ts'
import { registerNotation } from './address.ts'
import { swapBytes } from './byte-order.ts'
import { decodeRegister } from './decode.ts'

/** A number a person can read, or null where a float32 holds none or the second register was not read. */
function readable(words: readonly number[], index: number, type: RegisterType, order: RegisterOrder): number | null {
  const value = decodeRegister(words, index, type, order)
  return value !== null && Number.isFinite(value) ? value : null
}

function inEveryOrder(words: readonly number[], index: number, type: RegisterType): RegisterRow['float32'] {
  const entries = REGISTER_ORDERS.map((order) => [order, readable(words, index, type, order)] as const)
  return Object.fromEntries(entries) as RegisterRow['float32']
}

/**
 * A register range in every type and order side by side, so that a wrong map is found by looking.
 *
 * @param words registers as read, 0–65535
 * @param fn 3 holding or 4 input registers
 * @param address 0-based offset of the first
 * @returns one row a register; 32-bit readings span it and the next, so the last row has none
 */
export function registerRows(words: readonly number[], fn: 3 | 4, address: number): RegisterRow[] {
  const int16 = (word: number) => (word << 16) >> 16
  return words.map((word, index) => ({
    address: address + index,
    notation: registerNotation(fn, address + index),
    hex: word.toString(16).toUpperCase().padStart(4, '0'),
    uint16: word,
    int16: int16(word),
    uint16Swapped: swapBytes(word),
    int16Swapped: int16(swapBytes(word)),
    uint32: inEveryOrder(words, index, 'uint32'),
    int32: inEveryOrder(words, index, 'int32'),
    float32: inEveryOrder(words, index, 'float32'),
  }))
}
