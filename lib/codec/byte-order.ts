import type { RegisterOrder } from '../../shared/schemas/config.ts'

/**
 * Modbus sends a register's high byte first; which register of a pair is the high one, and whether
 * a maker swapped the bytes inside, is the device's choice. With A the most significant byte:
 * ABCD as sent · CDAB words swapped · BADC bytes swapped · DCBA both.
 *
 * Every order is its own inverse, so one function serves both ways.
 */
const swapsWords = (order: RegisterOrder): boolean => order === 'CDAB' || order === 'DCBA'
const swapsBytes = (order: RegisterOrder): boolean => order === 'BADC' || order === 'DCBA'

/** The word with its two bytes exchanged. */
export const swapBytes = (word: number): number => ((word & 0xff) << 8) | (word >>> 8)

/** A word of a 16-bit value in `order` (which has no second word to swap). */
export function order16(word: number, order: RegisterOrder): number {
  return swapsBytes(order) ? swapBytes(word) : word
}

/** The pair of words of a 32-bit value between wire order and high-word-first order. */
export function order32(first: number, second: number, order: RegisterOrder): readonly [high: number, low: number] {
  const a = order16(first, order)
  const b = order16(second, order)
  return swapsWords(order) ? [b, a] : [a, b]
}
