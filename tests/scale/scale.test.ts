import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { electricalOf, siValueOf } from '../../lib/scale/channel-scale.ts'
import { ASSUMED, SET } from '../../lib/scale/default-uncertainty.ts'
import { capacityN, forceN } from '../../lib/scale/force.ts'
import { readingStep } from '../../lib/scale/step.ts'
import { twoPoint } from '../../lib/scale/two-point.ts'
import { STEP, valueUncertainty } from '../../lib/scale/value-uncertainty.ts'
import { liveOf } from '../../lib/verdicts/live.ts'
import { epochMs, monotonicMs } from '../../shared/brand.ts'
import type { QualityCode } from '../../shared/quality.ts'
import { channel as channelSchema, forceScale } from '../../shared/schemas/config/channel.ts'

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

describe('uncertainty of a value that is no force', () => {
  const speed = (scale: object, type: 'int16' | 'float32' = 'float32') =>
    channelSchema.parse({
      id: 'speed',
      device: 'plc',
      measures: 'speed',
      register: { address: 0, type },
      scale: { unit: 'm/min', ...scale },
    })

  it('is a share of the value and nothing at 0, where the config tells no more', () => {
    expect(valueUncertainty(speed({ u_percent: 0.2 }), 4)).toEqual({ u: expect.closeTo(0.008, 12), source: SET })
    expect(valueUncertainty(speed({ u_percent: 0.2 }), 0).u).toBe(0)
    expect(valueUncertainty(speed({}), 4)).toEqual({ u: expect.closeTo(0.02, 12), source: ASSUMED })
  })
  it('keeps its absolute part at 0, in the unit of the scale: 0.3 m/min are 0.005 m/s', () => {
    expect(valueUncertainty(speed({ u: 0.3 }), 0)).toEqual({ u: expect.closeTo(0.005, 12), source: SET })
    // Told alone, nothing is assumed beside it.
    expect(valueUncertainty(speed({ u: 0.3 }), 4).u).toBeCloseTo(0.005, 12)
    expect(valueUncertainty(speed({ u: 0.3, u_percent: 0.1 }), 4).u).toBeCloseTo(Math.hypot(0.005, 0.004), 12)
  })
  // JCGM 100, 4.3.7 and F.2.2.1: a step δx stands for a rectangle of that width, u = δx/√12 = 0.29 δx (V).
  it('is one step over √12 where counts tell it: 1000 counts over 600 m/min are 0.6 m/min each', () => {
    const counted = speed({ u_percent: 0, counts: [0, 1000], reads: [0, 600] }, 'int16')
    expect(valueUncertainty(counted, 0)).toEqual({ u: expect.closeTo((0.29 * 0.6) / 60, 4), source: STEP })
    const loop = channelSchema.parse({
      ...counted,
      electrical: { unit: 'mA', counts: [0, 20_000], reads: [0, 20] },
      scale: { unit: 'm/min', counts: [4, 20], reads: [0, 400], u_percent: 0 },
    })
    // 1 µA of 16 mA over 400 m/min: 0.025 m/min.
    expect(valueUncertainty(loop, 0).u).toBeCloseTo(0.025 / 60 / Math.sqrt(12), 12)
  })
  it('stands beside a stopped line’s speed: 0 ± 2u, and nothing beside a lost one', () => {
    const sample = { tMs: monotonicMs(0), halfWidthMs: 1, raw: 0, electrical: null, value: 0, code: 'good' } as const
    const live = (code: QualityCode) =>
      liveOf(speed({ u: 0.3 }), { sample: { ...sample, code }, stale: false }, (t) => epochMs(t))
    expect(live('good')).toMatchObject({ value: 0, U: expect.closeTo(0.01, 12) })
    expect(live('no-answer')).not.toHaveProperty('U')
  })
  it('takes a difference of degrees Fahrenheit for what it is', () => {
    const warm = channelSchema.parse({
      id: 't',
      device: 'plc',
      measures: 'temperature',
      register: { address: 0, type: 'float32' },
      scale: { unit: '°F', u: 0.9, u_percent: 0 },
    })
    expect(valueUncertainty(warm, 0).u).toBeCloseTo(0.5, 12)
  })
})

describe('one step of a reading', () => {
  it('is told by whole numbers alone: Linux IIO hands over volts', () => {
    const electrical = {
      unit: 'mA' as const,
      counts: [0, 20_000] as [number, number],
      reads: [0, 20] as [number, number],
    }
    const cell = { id: 'c', device: 'd', force: { gain: 31.25, capacity: 500 } }
    expect(readingStep(channelSchema.parse({ ...cell, electrical, register: { address: 0 } }))).toBeCloseTo(0.001, 12)
    expect(readingStep(channelSchema.parse({ ...cell, register: { address: 0 } }))).toBe(1)
    expect(readingStep(channelSchema.parse({ ...cell, electrical, register: { address: 0, type: 'float32' } }))).toBe(0)
    expect(readingStep(channelSchema.parse({ ...cell, electrical: { unit: 'V' }, iio_channel: 'voltage0' }))).toBe(0)
  })
})
