/** Bits written or read at one go without leaving 32-bit integers: seven may be pending already. */
const AT_ONCE = 24
const AT_ONCE_STEPS = 2 ** AT_ONCE

/** Bits appended to a growing row of bytes, the highest bit of each value first. */
export class BitWriter {
  #bytes = new Uint8Array(256)
  #length = 0
  #pending = 0
  #pendingBits = 0

  /** Appends the lowest `count` bits of an integer `0 ≤ value < 2^count`; `count` from 0 to 53. */
  write(value: number, count: number): void {
    if (count > AT_ONCE) {
      this.write(Math.floor(value / AT_ONCE_STEPS), count - AT_ONCE)
      this.#few(value % AT_ONCE_STEPS, AT_ONCE)
    } else {
      this.#few(value, count)
    }
  }

  /** Appends `count` ones and a zero. */
  writeUnary(count: number): void {
    for (; count >= AT_ONCE; count -= AT_ONCE) this.#few(AT_ONCE_STEPS - 1, AT_ONCE)
    this.#few((1 << (count + 1)) - 2, count + 1)
  }

  /** What was written, the last byte filled up with zeros. Nothing may be written after it. */
  bytes(): Uint8Array<ArrayBuffer> {
    if (this.#pendingBits > 0) this.#few(0, 8 - this.#pendingBits)
    return this.#bytes.slice(0, this.#length)
  }

  #few(value: number, count: number): void {
    let pending = (this.#pending << count) | value
    let bits = this.#pendingBits + count
    if (this.#length + 4 > this.#bytes.length) this.#grow()
    while (bits >= 8) {
      bits -= 8
      this.#bytes[this.#length++] = pending >>> bits
    }
    pending &= (1 << bits) - 1
    this.#pending = pending
    this.#pendingBits = bits
  }

  #grow(): void {
    const larger = new Uint8Array(this.#bytes.length * 2)
    larger.set(this.#bytes)
    this.#bytes = larger
  }
}

/** Reads what a `BitWriter` wrote. Throws RangeError when there is no more: the bytes were cut short. */
export class BitReader {
  readonly #bytes: Uint8Array
  #at = 0
  #pending = 0
  #pendingBits = 0

  constructor(bytes: Uint8Array) {
    this.#bytes = bytes
  }

  read(count: number): number {
    if (count <= AT_ONCE) return this.#few(count)
    const high = this.read(count - AT_ONCE)
    return high * AT_ONCE_STEPS + this.#few(AT_ONCE)
  }

  /** Counts the ones up to the next zero. */
  readUnary(): number {
    let count = 0
    while (this.#few(1) === 1) count++
    return count
  }

  #few(count: number): number {
    while (this.#pendingBits < count) {
      const byte = this.#bytes[this.#at]
      if (byte === undefined) throw new RangeError('the bytes end too early')
      this.#at++
      this.#pending = (this.#pending << 8) | byte
      this.#pendingBits += 8
    }
    this.#pendingBits -= count
    const value = this.#pending >>> this.#pendingBits
    this.#pending &= (1 << this.#pendingBits) - 1
    return value
  }
}
