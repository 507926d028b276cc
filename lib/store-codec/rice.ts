import type { BitReader, BitWriter } from './bits.ts'

/** A quotient this large is not written out: the value follows with its length. */
const ESCAPE = 24
const LENGTH_BITS = 6
const LARGEST_PARAMETER = 30
/** Under this the integers of the machine do. */
const FEW = 2 ** 31

/**
 * Appends a count from 0 to 2^53 − 1 as a Rice code: the quotient by 2^k as so many ones and a zero, then k bits of
 * remainder (R. F. Rice, JPL 79-22, 1979; the same as in RFC 9639, 9.2.7, with ones and zeros exchanged). A rare large
 * one is escaped: `ESCAPE` ones, a zero, its length, its bits.
 */
export function writeRice(writer: BitWriter, value: number, k: number): void {
  if (value < FEW) {
    const quotient = value >>> k
    if (quotient < ESCAPE) {
      writer.writeUnary(quotient)
      writer.write(value & ((1 << k) - 1), k)
      return
    }
  } else {
    const quotient = Math.floor(value / 2 ** k)
    if (quotient < ESCAPE) {
      writer.writeUnary(quotient)
      writer.write(value % 2 ** k, k)
      return
    }
  }
  writer.writeUnary(ESCAPE)
  writeCount(writer, value)
}

export function readRice(reader: BitReader, k: number): number {
  const quotient = reader.readUnary()
  return quotient >= ESCAPE ? readCount(reader) : quotient * 2 ** k + reader.read(k)
}

/** Bits that `writeRice` takes for all of `values[0…n)`. */
function riceBits(values: Float64Array, n: number, k: number): number {
  const step = 2 ** k
  let bits = n * (k + 1)
  for (let i = 0; i < n; i++) {
    const value = values[i] ?? 0
    const quotient = value < FEW ? value >>> k : Math.floor(value / step)
    bits += quotient < ESCAPE ? quotient : ESCAPE + LENGTH_BITS + 53
  }
  return bits
}

/** The parameter that takes the fewest bits, looked for about the logarithm of the mean. */
export function bestRiceParameter(values: Float64Array, n: number): number {
  let sum = 0
  for (let i = 0; i < n; i++) sum += values[i] ?? 0
  const mean = (sum / Math.max(1, n)) * Math.LN2
  const about = Math.min(LARGEST_PARAMETER, Math.floor(Math.log2(Math.max(1, mean))))
  let best = about
  let least = riceBits(values, n, about)
  for (let k = about - 1; k >= Math.max(0, about - 3); k--) {
    const bits = riceBits(values, n, k)
    if (bits > least) break
    best = k
    least = bits
  }
  for (let k = about + 1; best === about && k <= LARGEST_PARAMETER; k++) {
    const bits = riceBits(values, n, k)
    if (bits >= least) break
    best = k
    least = bits
  }
  return best
}

/** Appends a count from 0 to 2^53 − 1 by itself: its length in bits, then its bits. */
export function writeCount(writer: BitWriter, value: number): void {
  const length = value === 0 ? 0 : Math.floor(Math.log2(value)) + 1
  // log2 rounds: near a power of two it may be one off.
  const exact = value >= 2 ** length ? length + 1 : length > 0 && value < 2 ** (length - 1) ? length - 1 : length
  writer.write(exact, LENGTH_BITS)
  writer.write(value, exact)
}

export function readCount(reader: BitReader): number {
  return reader.read(reader.read(LENGTH_BITS))
}
