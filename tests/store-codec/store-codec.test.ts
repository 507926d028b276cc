import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BitReader, BitWriter } from '../../lib/store-codec/bits.ts'
import { type ChannelColumn, decodeBlock, encodeBlock, groupByTimes } from '../../lib/store-codec/block.ts'
import { decodeColumn, encodeColumn } from '../../lib/store-codec/column.ts'
import { isCodable } from '../../lib/store-codec/integers.ts'
import { readRice, writeRice } from '../../lib/store-codec/rice.ts'
import { decodeTimes, encodeTimes, ticksOf } from '../../lib/store-codec/times.ts'
import { unzigzag, zigzag } from '../../lib/store-codec/zigzag.ts'
import { QUALITY_CODES } from '../../shared/quality.ts'

const sameBits = (a: Float64Array, b: Float64Array) =>
  a.length === b.length && a.every((value, i) => Object.is(value, b[i]))

const number = fc.oneof(
  fc.integer({ min: -32_768, max: 32_767 }),
  fc.integer({ min: -(2 ** 31), max: 2 ** 32 }),
  fc.float({ noNaN: true, noDefaultInfinity: true }),
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  fc.constant(-0),
)
const code = fc.integer({ min: 0, max: QUALITY_CODES.length - 1 })
const samples = fc.oneof(
  // Of one kind, so that each form of numbers is met …
  fc.array(fc.tuple(fc.option(fc.integer({ min: 0, max: 65_535 }), { freq: 9 }), code), { maxLength: 400 }),
  fc.array(fc.tuple(fc.option(fc.float({ noNaN: true, noDefaultInfinity: true })), code), { maxLength: 300 }),
  // … and mixed.
  fc.array(fc.tuple(fc.option(number), code), { maxLength: 300 }),
)
const columnOf = (rows: readonly (readonly [number | null, number])[]) => ({
  raws: Float64Array.from(rows, ([raw]) => raw ?? Number.NaN),
  codes: Uint8Array.from(rows, ([, quality]) => quality),
})
const steps = fc.array(fc.oneof(fc.integer({ min: 1, max: 200 }), fc.integer({ min: 1, max: 10 ** 9 })), {
  minLength: 1,
  maxLength: 400,
})
const ticksFrom = (start: number, given: readonly number[]) => {
  let at = ticksOf(start)
  return Float64Array.from(given, (step) => {
    at += step
    return at
  })
}

describe('a column of samples', () => {
  it('comes back bit for bit: counts, floats, −0, gaps and every quality', () => {
    fc.assert(
      fc.property(samples, (rows) => {
        const column = columnOf(rows)
        const back = decodeColumn(encodeColumn(column), rows.length)
        expect(sameBits(back.raws, column.raws)).toBe(true)
        expect(back.codes).toEqual(column.codes)
      }),
      { numRuns: 500 },
    )
  })

  it('comes back bit for bit where few values lie as far apart as integers may', () => {
    const far = fc.integer({ min: -(2 ** 49) + 1, max: 2 ** 49 - 1 })
    fc.assert(
      fc.property(fc.array(far, { minLength: 1, maxLength: 6 }), (values) => {
        const column = columnOf(values.map((value) => [value, 0] as const))
        expect(sameBits(decodeColumn(encodeColumn(column), values.length).raws, column.raws)).toBe(true)
      }),
      { numRuns: 500, examples: [[[17_592_188_141_568, 0]]] },
    )
  })

  it('is refused, never guessed, when its bytes were cut short', () => {
    const column = columnOf(Array.from({ length: 300 }, (_, i) => [(i * 7919) % 1000, 0] as const))
    const bytes = encodeColumn(column)
    for (const length of [0, 1, 5, bytes.length - 2])
      expect(() => decodeColumn(bytes.subarray(0, length), 300)).toThrow(RangeError)
  })
})

describe('times', () => {
  it('come back to the tick, even, jittered, with gaps of years and steps of one tick', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4_102_444_800_000 }), steps, (start, given) => {
        const ticks = ticksFrom(start, given)
        expect(sameBits(decodeTimes(encodeTimes(ticks), ticks.length), ticks)).toBe(true)
      }),
    )
  })

  it('of a clock that ticks evenly take next to nothing', () => {
    const ticks = Float64Array.from({ length: 6000 }, (_, i) => 17_600_000_000_000 + 100 * i)
    expect(encodeTimes(ticks).length).toBeLessThan(6000 / 6)
  })
})

describe('a block of several channels', () => {
  it('comes back whole, and writes the times that channels share once', () => {
    fc.assert(
      fc.property(steps, fc.integer({ min: 1, max: 4 }), (given, channels) => {
        const ticks = ticksFrom(1_760_000_000_000, given)
        const columns = Array.from(
          { length: channels },
          (_, i): ChannelColumn => ({
            channel: i + 1,
            revision: 7,
            ticks: Float64Array.from(ticks),
            raws: Float64Array.from(given, (step) => (step % 5 === 0 ? Number.NaN : step + i)),
            codes: Uint8Array.from(given, (step) => step % 3),
          }),
        )
        expect(groupByTimes(columns)).toHaveLength(1)
        const back = decodeBlock(encodeBlock(columns))
        expect(back).toHaveLength(channels)
        for (const [i, column] of back.entries()) {
          expect([column.channel, column.revision]).toEqual([i + 1, 7])
          expect(sameBits(column.ticks, ticks)).toBe(true)
          expect(sameBits(column.raws, columns[i]?.raws ?? new Float64Array())).toBe(true)
          expect(column.codes).toEqual(columns[i]?.codes)
        }
      }),
    )
  })

  it('keeps apart the times of channels that were read apart', () => {
    const column = (channel: number, ticks: number[]): ChannelColumn => ({
      channel,
      revision: 1,
      ticks: Float64Array.from(ticks),
      raws: Float64Array.from(ticks, () => 1),
      codes: new Uint8Array(ticks.length),
    })
    const columns = [column(1, [1, 2, 3]), column(2, [1, 2, 4]), column(3, [1, 2])]
    expect(groupByTimes(columns)).toHaveLength(3)
    expect(decodeBlock(encodeBlock(columns)).map(({ ticks }) => [...ticks])).toEqual([
      [1, 2, 3],
      [1, 2, 4],
      [1, 2],
    ])
  })
})

describe('the parts', () => {
  it('zigzag is that of Protocol Buffers (its table in "Encoding": 0, −1, 1, −2, 2147483647, −2147483648; V)', () => {
    const table = [
      [0, 0],
      [-1, 1],
      [1, 2],
      [-2, 3],
      [0x7fffffff, 0xfffffffe],
      [-0x80000000, 0xffffffff],
    ] as const
    for (const [value, expected] of table) {
      expect(zigzag(value)).toBe(expected)
      expect(unzigzag(expected)).toBe(value)
    }
  })

  it('a Rice code is quotient and remainder, and a value beyond every quotient is still exact', () => {
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.nat(500), fc.integer({ min: 0, max: Number.MAX_SAFE_INTEGER }))),
        fc.integer({ min: 0, max: 31 }),
        (values, k) => {
          const writer = new BitWriter()
          for (const value of values) writeRice(writer, value, k)
          const reader = new BitReader(writer.bytes())
          for (const value of values) expect(readRice(reader, k)).toBe(value)
        },
      ),
    )
  })

  it('bits of any width come back in order', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.integer({ min: 0, max: 53 }), fc.maxSafeNat())), (rows) => {
        const cut = rows.map(([width, value]) => [width, value % 2 ** width] as const)
        const writer = new BitWriter()
        for (const [width, value] of cut) writer.write(value, width)
        const reader = new BitReader(writer.bytes())
        for (const [width, value] of cut) expect(reader.read(width)).toBe(value)
      }),
    )
  })

  it('what would not come back exactly is not called codable', () => {
    expect([0, -5, 2 ** 48, 0.5, -0, 2 ** 49, Number.NaN].map(isCodable)).toEqual([
      true,
      true,
      true,
      false,
      false,
      false,
      false,
    ])
  })
})

describe('size', () => {
  /** Normal numbers from a small seeded generator (Box–Muller). */
  const normal = (seed: number) => {
    let state = seed
    const uniform = () => {
      state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
      return (state + 1) / 4_294_967_297
    }
    return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
  }

  it('two sides of one device at 100/s with jittered polls and 4 counts of noise take at most 1 byte a sample', () => {
    const noise = normal(1)
    const n = 6000
    const ticks = Float64Array.from({ length: n }, (_, i) => 17_600_000_000_000 + 100 * i + Math.round(2 * noise()))
    const side = (channel: number): ChannelColumn => ({
      channel,
      revision: 1,
      ticks,
      raws: Float64Array.from({ length: n }, (_, i) => Math.round(12_000 + 40 * Math.sin(i / 900) + 4 * noise())),
      codes: new Uint8Array(n),
    })
    const bytes = encodeBlock([side(1), side(2)]).length
    console.log(`${(bytes / (2 * n)).toFixed(3)} bytes a sample`)
    expect(bytes / (2 * n)).toBeLessThan(1)
  })
})
