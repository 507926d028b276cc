import type { BitReader, BitWriter } from './bits.ts'

const POSITION_BITS = 5

/** Which bits of a 32-bit word changed last time: the next change mostly fits between them. */
interface Window {
  previous: number
  leading: number
  length: number
}

const emptyWindow = (): Window => ({ previous: 0, leading: 0, length: 0 })

/** Whether a number survives the way through a 32-bit float bit for bit. */
export function isSingle(value: number): boolean {
  return Object.is(Math.fround(value), value)
}

/**
 * Appends floats, losslessly: each 32-bit word exclusive-or its predecessor, of which only the bits that changed are
 * written (after T. Pelkonen et al., "Gorilla", VLDB 2015, 4.1.3). A 64-bit float is two such words side by side.
 */
export function encodeFloats(writer: BitWriter, values: Float64Array, bits: 32 | 64): void {
  const words = wordsOf(values, bits)
  const lanes = bits / 32
  const windows = Array.from({ length: lanes }, emptyWindow)
  for (let i = 0; i < words.length; i++) writeWord(writer, words[i] ?? 0, windows[i % lanes] ?? emptyWindow())
}

export function decodeFloats(reader: BitReader, n: number, bits: 32 | 64): Float64Array {
  const lanes = bits / 32
  const words = new Uint32Array(n * lanes)
  const windows = Array.from({ length: lanes }, emptyWindow)
  for (let i = 0; i < words.length; i++) words[i] = readWord(reader, windows[i % lanes] ?? emptyWindow())
  return bits === 32 ? Float64Array.from(new Float32Array(words.buffer)) : new Float64Array(words.buffer)
}

function wordsOf(values: Float64Array, bits: 32 | 64): Uint32Array {
  const floats = bits === 32 ? Float32Array.from(values) : Float64Array.from(values)
  return new Uint32Array(floats.buffer)
}

function writeWord(writer: BitWriter, word: number, window: Window): void {
  const changed = (word ^ window.previous) >>> 0
  window.previous = word
  if (changed === 0) {
    writer.write(0, 1)
    return
  }
  const leading = Math.clz32(changed)
  const trailing = 31 - Math.clz32(changed & -changed)
  const fits = leading >= window.leading && trailing >= 32 - window.leading - window.length
  if (!fits) {
    window.leading = leading
    window.length = 32 - leading - trailing
    writer.write(0b11, 2)
    writer.write(leading, POSITION_BITS)
    writer.write(window.length - 1, POSITION_BITS)
  } else {
    writer.write(0b10, 2)
  }
  writer.write(changed >>> (32 - window.leading - window.length), window.length)
}

function readWord(reader: BitReader, window: Window): number {
  if (reader.read(1) === 0) return window.previous
  if (reader.read(1) === 1) {
    window.leading = reader.read(POSITION_BITS)
    window.length = reader.read(POSITION_BITS) + 1
  }
  const shift = 32 - window.leading - window.length
  window.previous = (window.previous ^ (reader.read(window.length) << shift)) >>> 0
  return window.previous
}
