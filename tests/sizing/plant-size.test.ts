import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { BYTES_A_ROLL_UP, BYTES_BESIDE } from '../../gateway/recorder/sizes.ts'
import { SIZING } from '../../lib/sizing/constants.ts'
import { type PlantPlan, sizeOf } from '../../lib/sizing/plant-size.ts'
import { configSchema } from '../../shared/schemas/config.ts'
import { minuteAt } from '../drift/made-minutes.ts'

const ONE: PlantPlan = {
  lines: 1,
  zonesALine: 2,
  devicesALine: 2,
  channelsALine: 8,
  rateHz: 100,
  everySeconds: 10,
  days: 60,
  pagesALine: 1,
}

describe('the size of a plant', () => {
  it('is that of hand arithmetic for one gateway', () => {
    const { gateway } = sizeOf(ONE)
    // 8 × 100/s; × 86 400 s × 0.6 bytes = 41.472 MB, the 42 MB a day that README tells of 8 channels at 100/s.
    expect(gateway.samplesPerSecond).toBe(800)
    expect(gateway.sampleBytesPerDay).toBeCloseTo(41_472_000, 0)
    // 8 × 8640 × 76 = 5 253 120; 2 × 1440 × 500 = 1 440 000.
    expect(gateway.figureBytesPerDay).toBe(6_693_120)
    // 60 × (41 472 000 + 6 693 120) = 2.89 GB
    expect(gateway.storeBytes).toBeCloseTo(2_889_907_200, 0)
    // 2 zones and 2 devices, each twice, and 2 states: 10 every 10 s.
    expect(gateway.messagesPerSecond).toBe(1)
    // 2 × (2 × 7000 + 2 × 700) + 2 × 1000 + 10 × 120 = 34 000 every 10 s.
    expect(gateway.sentBytesPerSecond).toBe(3400)
    // (14 000 + 1400) × 8640 = 133 MB a day.
    expect(gateway.waitingBytesPerDay).toBe(133_056_000)
    // 2 × 30 000 × 4 + 30 000
    expect(gateway.pageBytesPerSecond).toBe(270_000)
  })

  it('is that of hand arithmetic for a thousand gateways', () => {
    const plant = sizeOf({ ...ONE, lines: 1000 })
    expect(plant).toMatchObject({ samplesPerSecond: 800_000, brokerConnections: 1000, messagesPerSecond: 1000 })
    expect(plant.brokerBytesPerSecond).toBe(3_400_000)
    // 133.056 MB × 365 × 1000 = 48.6 TB as JSON; 1000 × 2 × 20 × 16 / 10 × 31 536 000 s = 2.02 TB of figures.
    expect(plant.historyJsonBytesPerYear).toBeCloseTo(48_565_440_000_000, -3)
    expect(plant.historyFigureBytesPerYear).toBeCloseTo(2_018_304_000_000, -3)
  })

  it('grows in proportion to the gateways and never goes under zero', () => {
    const number = fc.integer({ min: 0, max: 1000 })
    const plan = fc.record({
      lines: number,
      zonesALine: number,
      devicesALine: number,
      channelsALine: number,
      rateHz: number,
      everySeconds: fc.double({ min: 0.1, max: 3600, noNaN: true }),
      days: number,
      pagesALine: number,
    })
    fc.assert(
      fc.property(plan, (any) => {
        const { gateway, ...plant } = sizeOf(any)
        const { gateway: same, ...twice } = sizeOf({ ...any, lines: 2 * any.lines })
        expect(same).toEqual(gateway)
        for (const [name, value] of Object.entries(plant)) {
          expect(value).toBeGreaterThanOrEqual(0)
          const double = twice[name as keyof typeof twice]
          expect(Math.abs(double - 2 * value)).toBeLessThanOrEqual(1e-9 * Math.abs(double))
        }
        for (const value of Object.values(gateway)) expect(value).toBeGreaterThanOrEqual(0)
      }),
    )
  })

  it('refuses a plan that cannot be', () => {
    expect(() => sizeOf({ ...ONE, rateHz: Number.NaN })).toThrow(RangeError)
    expect(() => sizeOf({ ...ONE, lines: -1 })).toThrow(RangeError)
    expect(() => sizeOf({ ...ONE, everySeconds: 0 })).toThrow(RangeError)
  })

  it('takes for a minute what one with all its digits takes as a row', () => {
    const digits = Math.PI * 80
    const side = { drive_side: digits, operator_side: digits + 1 / 3 }
    const minute = minuteAt(0, {
      force: side,
      noise: { drive_side: digits / 300, operator_side: digits / 301 },
      total: digits,
      imbalance: digits / 1000,
      expected: digits,
      residual: -digits / 1000,
      speed: digits / 60,
      reference: digits,
      temperature: digits / 11,
      revision: '3f1c09ab27de',
    })
    const bytes = JSON.stringify(minute).length + BYTES_BESIDE
    expect(Math.abs(bytes / SIZING.minuteBytes.value - 1), `${bytes}`).toBeLessThan(0.15)
  })

  it('takes what the recorder itself counts for a roll-up, and the period that the config sends by', () => {
    expect(SIZING.rollUpBytes.value).toBe(BYTES_A_ROLL_UP)
    const mqtt = { mqtt: { url: 'mqtt://broker:1883' } }
    expect(configSchema.shape.forward.parse(mqtt).mqtt?.every_s).toBe(ONE.everySeconds)
  })
})
