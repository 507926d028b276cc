import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { electricalOf, siValueOf } from '../../lib/scale/channel-scale.ts'
import { capacityN, forceN } from '../../lib/scale/force.ts'
import { twoPoint } from '../../lib/scale/two-point.ts'
import { channel as channelSchema, forceScale } from '../../shared/schemas/config.ts'

describe('two-point scale', () => {
  it('puts 0 and 20000 counts of a current module at 0 and 20 mA', () => {
    expect(twoPoint([0, 20_000], [0, 20], 12_000)).toBe(12)
  })
  it('meets both points exactly for any pair of points', () => {
    const n = fc.integer({ min: -1e6, max: 1e6 })
    fc.assert(
      fc.property(n, n, n, n, (c0, c1, r0, r1) => {
        fc.pre(c0 !== c1)
        expect(twoPoint([c0, c1], [r0, r1], c0)).toBe(r0)
        expect(twoPoint([c0, c1], [r0, r1], c1)).toBeCloseTo(r1, 6)
      }),
    )
  })
})

describe('force scale', () => {
  // Worked by hand: 500 N over 16 mA is 31.25 N/mA; 12 mA is half of the range above 4 mA.
  const scale = forceScale.parse({ gain: 31.25, zero: 4, capacity: 500 })
  it('reads 250 N at 12 mA and 0 N at the live zero', () => {
    expect(forceN(scale, 12)).toBe(250)
    expect(forceN(scale, 4)).toBe(0)
  })
  it('gives newtons whatever unit the scale is written in', () => {
    const pounds = forceScale.parse({ unit: 'lbf', gain: 10, zero: 0, capacity: 100 })
    expect(forceN(pounds, 1)).toBeCloseTo(44.48221615, 7)
    expect(capacityN(pounds)).toBeCloseTo(444.8221615, 6)
  })
})

describe('a channel from raw number to SI value', () => {
  it('goes through the electrical scale where there is one', () => {
    const cell = channelSchema.parse({
      id: 'ds',
      device: 'm',
      electrical: { unit: 'mA', counts: [0, 20_000], reads: [0, 20] },
      force: { gain: 31.25, zero: 4, capacity: 500 },
    })
    const reading = electricalOf(cell, 12_000)
    expect(reading).toBe(12)
    expect(siValueOf(cell, reading ?? Number.NaN)).toBe(250)
  })
  it('turns 300 m/min into 5 m/s', () => {
    const speed = channelSchema.parse({ id: 'v', device: 'm', measures: 'speed', scale: { unit: 'm/min' } })
    expect(electricalOf(speed, 300)).toBeNull()
    expect(siValueOf(speed, 300)).toBeCloseTo(5, 12)
  })
  it('refuses a channel without the scale for what it measures', () => {
    const bare = channelSchema.parse({ id: 'x', device: 'm' })
    expect(() => siValueOf(bare, 1)).toThrow('has no force scale')
  })
})
