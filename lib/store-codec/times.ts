import { BitReader, BitWriter } from './bits.ts'
import { decodeIntegers, encodeIntegers } from './integers.ts'

/** Times are kept in tenths of a millisecond since 1970: finer than any round trip they come from. */
export const TICKS_PER_MS = 10

export const ticksOf = (epochMs: number): number => Math.round(epochMs * TICKS_PER_MS)
export const msOf = (ticks: number): number => ticks / TICKS_PER_MS

/** Times in ticks, even or uneven, as bytes; how many there are has to be known to read them. */
export function encodeTimes(ticks: Float64Array): Uint8Array<ArrayBuffer> {
  const writer = new BitWriter()
  encodeIntegers(writer, ticks)
  return writer.bytes()
}

export function decodeTimes(bytes: Uint8Array, n: number): Float64Array {
  return decodeIntegers(new BitReader(bytes), n)
}
