import { describe, expect, it } from 'vitest'
import { decodeRegister } from '../../lib/codec/decode.ts'
import { encodeRegister } from '../../lib/codec/encode.ts'

/**
 * Source: the libmodbus unit tests (tests/unit-test.h.in: UT_IREAL_ABCD, _DCBA, _BADC, _CDAB), the
 * same float 123456.0 in all four orders. Status V: read in a stored copy.
 */
const PUBLISHED = [
  { order: 'ABCD', words: [0x47f1, 0x2000] },
  { order: 'DCBA', words: [0x0020, 0xf147] },
  { order: 'BADC', words: [0xf147, 0x0020] },
  { order: 'CDAB', words: [0x2000, 0x47f1] },
] as const

describe('the four orders of 123456.0 as libmodbus publishes them', () => {
  for (const { order, words } of PUBLISHED) {
    it(`${order}: ${words.map((w) => w.toString(16).padStart(4, '0')).join(' ')} decodes to 123456`, () => {
      expect(decodeRegister(words, 0, 'float32', order)).toBe(123456)
    })
    it(`${order}: 123456 encodes to the same registers`, () => {
      expect(encodeRegister(123456, 'float32', order)).toEqual([...words])
    })
  }
})

describe('registers of the published Modbus examples', () => {
  it('03 response 02 2B 00 00 00 64 holds 555, 0 and 100 (Modbus Application Protocol V1.1b3 §6.3)', () => {
    const words = [0x022b, 0x0000, 0x0064]
    expect(words.map((_, i) => decodeRegister(words, i, 'int16', 'ABCD'))).toEqual([555, 0, 100])
  })
  it('04 response 00 0A holds 10 (Modbus Application Protocol V1.1b3 §6.4)', () => {
    expect(decodeRegister([0x000a], 0, 'uint16', 'ABCD')).toBe(10)
  })
})

describe('binary32 corner values (IEEE 754-2019, table 3.5 parameters)', () => {
  it.each([
    [0x3f80, 0x0000, 1],
    [0xc000, 0x0000, -2],
    [0x7f7f, 0xffff, 3.4028234663852886e38],
    [0x0000, 0x0001, 1.401298464324817e-45],
    [0x7f80, 0x0000, Number.POSITIVE_INFINITY],
    [0x7fc0, 0x0000, Number.NaN],
  ])('%i %i is %f', (high, low, value) => {
    expect(decodeRegister([high, low], 0, 'float32', 'ABCD')).toBe(value)
  })
})
