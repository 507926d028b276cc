import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseAddress, registerNotation } from '../../lib/codec/address.ts'
import { decodeRegister } from '../../lib/codec/decode.ts'
import { encodeRegister, INTEGER_RANGE } from '../../lib/codec/encode.ts'
import { registerRows } from '../../lib/codec/register-rows.ts'
import { REGISTER_ORDERS } from '../../shared/schemas/config/channel.ts'

const order = fc.constantFrom(...REGISTER_ORDERS)
const word = fc.integer({ min: 0, max: 0xffff })
const integerType = fc.constantFrom('int16', 'uint16', 'int32', 'uint32')

describe('decodeRegister and encodeRegister', () => {
  it('give back every whole number of a type in every order', () => {
    fc.assert(
      fc.property(integerType, order, fc.double({ min: 0, max: 1, noNaN: true }), (type, o, share) => {
        const [low, high] = INTEGER_RANGE[type]
        const value = Math.round(low + share * (high - low))
        return decodeRegister(encodeRegister(value, type, o), 0, type, o) === value
      }),
    )
  })
  it('give back every float32, NaN included, in every order', () => {
    fc.assert(
      fc.property(order, fc.float(), (o, value) =>
        Object.is(decodeRegister(encodeRegister(value, 'float32', o), 0, 'float32', o), value),
      ),
    )
  })
  it('give back the registers they were given, for any 32 bits', () => {
    fc.assert(
      fc.property(order, word, word, (o, a, b) => {
        const value = decodeRegister([a, b], 0, 'uint32', o)
        return value !== null && encodeRegister(value, 'uint32', o).join() === [a, b].join()
      }),
    )
  })
  it('saturate a whole number beyond its range, as a converter does', () => {
    expect(encodeRegister(40_000, 'int16', 'ABCD')).toEqual([0x7fff])
    expect(encodeRegister(-40_000, 'int16', 'ABCD')).toEqual([0x8000])
  })
  it('refuse to write NaN into a whole number', () => {
    expect(() => encodeRegister(Number.NaN, 'int16', 'ABCD')).toThrow(RangeError)
  })
  it('give null, not a number, when a register of the value was not read', () => {
    expect(decodeRegister([null, 1], 0, 'float32', 'ABCD')).toBeNull()
    expect(decodeRegister([1, null], 0, 'float32', 'ABCD')).toBeNull()
    expect(decodeRegister([1], 0, 'int32', 'ABCD')).toBeNull()
    expect(decodeRegister([], 0, 'uint16', 'ABCD')).toBeNull()
  })
})

describe('register addresses', () => {
  it('take a number as the 0-based offset of the wire', () => {
    expect(parseAddress(0)).toEqual({ function: null, offset: 0 })
  })
  it('take 3xxxx as input and 4xxxx as holding registers counted from 1', () => {
    expect(parseAddress('30001')).toEqual({ function: 4, offset: 0 })
    expect(parseAddress('40108')).toEqual({ function: 3, offset: 107 })
    expect(parseAddress('465536')).toEqual({ function: 3, offset: 65_535 })
  })
  it.each(['40000', '465537', '1', 'abc', '50001'])('refuse %s', (text) => {
    expect(() => parseAddress(text)).toThrow(RangeError)
  })
  it.each([-1, 65_536, 1.5])('refuse the offset %f', (offset) => {
    expect(() => parseAddress(offset)).toThrow(RangeError)
  })
  it('come back from their notation', () => {
    fc.assert(
      fc.property(word, fc.constantFrom(3 as const, 4 as const), (offset, fn) => {
        expect(parseAddress(registerNotation(fn, offset))).toEqual({ function: fn, offset })
      }),
    )
  })
})

describe('registerRows', () => {
  it('shows one row a register and no 32-bit reading on the last', () => {
    const rows = registerRows([0x47f1, 0x2000], 4, 10)
    expect(rows.map((r) => r.address)).toEqual([10, 11])
    expect(rows[0]).toMatchObject({ notation: '30011', hex: '47F1', uint16: 18417, float32: { ABCD: 123456 } })
    expect(rows[1]?.float32).toEqual({ ABCD: null, CDAB: null, BADC: null, DCBA: null })
  })
  it('shows no number where a float32 holds none', () => {
    expect(registerRows([0x7fc0, 0], 3, 0)[0]?.float32.ABCD).toBeNull()
  })
})
