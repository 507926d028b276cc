import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { bridgeOutput, CellChain, type CellParameters, SOUND_WIRING } from '../../simulator/physics/cell.ts'
import { convert } from '../../simulator/physics/converter.ts'

const quiet: CellParameters = {
  arrow: 0,
  capacity: 500,
  ratedOutput: 2,
  zeroBalance: 0.01,
  gain: 1,
  zeroPerKelvin: 1e-4,
  spanPerKelvin: 5e-5,
  referenceTemperature: 22,
  warmerBy: 0,
  thermalTime: 600,
  whiteNoise: 0,
  flickerNoise: 0,
  mainsPickup: 0,
  mainsPhase: 0,
  filterHz: 20,
  filterDamping: Math.SQRT1_2,
  rangeLow: -3,
  rangeHigh: 3,
  adcStep: 1e-5,
  ...SOUND_WIRING,
}
const settle = (cell: CellParameters, force: number, ambient = 22, seconds = 1) => {
  const chain = new CellChain(cell, 1, 'cell', 22)
  let state = chain.step(force, ambient, 0, 0.001)
  for (let i = 1; i < seconds * 1000; i++) state = chain.step(force, ambient, 0, 0.001)
  return { state, chain }
}

describe('load cell', () => {
  // By the definition of rated output (OIML R 60-1 vocabulary): the output at rated capacity less the zero balance.
  it('gives its rated output at its capacity, over its zero balance', () => {
    expect(bridgeOutput(quiet, 500, 22) - bridgeOutput(quiet, 0, 22)).toBeCloseTo(2, 12)
    expect(bridgeOutput(quiet, 0, 22)).toBeCloseTo(0.01, 12)
  })

  it('reads push as pull reversed', () => {
    expect(bridgeOutput(quiet, -250, 22)).toBeCloseTo(0.01 - 1, 12)
  })

  it('reads its zero balance reversed as well when its leads are exchanged, less what four wires lose', () => {
    expect(settle({ ...quiet, polarity: -1, leadLoss: 0.01 }, 250).state.output).toBeCloseTo(-0.99 * 1.01, 5)
  })

  it('the amplifier multiplies by its span knob and then adds its zero knob', () => {
    expect(settle({ ...quiet, knobGain: 1.1, knobZero: 0.2 }, 250).state.output).toBeCloseTo(1.1 * 1.01 + 0.2, 5)
  })

  // One arm of 351 ohm bridged by a leak of 1 megohm: R/(4 R_i) = 0.0878 mV/V.
  it('a leak moves the zero by about R/(4 R_i), and wanders; a dry cell leaks nothing', () => {
    const chain = new CellChain({ ...quiet, insulation: 1e6 }, 1, 'cell', 22)
    const zeros = Array.from({ length: 4000 }, () => chain.bridge(0, 22, 30).signal - 0.01)
    const mean = zeros.reduce((a, b) => a + b) / zeros.length
    const sigma = Math.sqrt(zeros.reduce((sum, x) => sum + (x - mean) ** 2, 0) / zeros.length)
    expect(Math.abs(mean / 0.0878 - 1)).toBeLessThan(0.2)
    expect(Math.abs(sigma / 0.0878 - 1)).toBeLessThan(0.2)
    expect(new CellChain({ ...quiet, insulation: 5e9 }, 1, 'cell', 22).bridge(0, 22, 30).signal).toBe(0.01)
  })

  it('a bad contact is open for its share of the time, forty times as often while it is wiggled', () => {
    const share = (wiggled: boolean) => {
      const chain = new CellChain({ ...quiet, breaks: 0.05 }, 1, 'cell', 22)
      let open = 0
      for (let i = 0; i < 400_000; i++) {
        if (chain.bridge(0, 22, 0.001, { wiggled, driveEnabled: false }).open) open += 1
      }
      return open / 400_000
    }
    // 2 breaks a second of 30 ms on average.
    expect(Math.abs(share(true) / 0.06 - 1)).toBeLessThan(0.15)
    expect(share(false)).toBeLessThan(0.004)
    expect(share(false)).toBeGreaterThan(0)
  })

  it('drives put noise into the cable while they are enabled, moving or not', () => {
    const spread = (driveEnabled: boolean) => {
      const chain = new CellChain({ ...quiet, drivePickup: 1e-3 }, 1, 'cell', 22)
      const signals = Array.from(
        { length: 5000 },
        () => chain.bridge(0, 22, 0.001, { wiggled: false, driveEnabled }).signal,
      )
      return Math.sqrt(signals.reduce((sum, x) => sum + (x - 0.01) ** 2, 0) / signals.length)
    }
    // 0.001 mV/V per √Hz over 500 Hz.
    expect(Math.abs(spread(true) / (1e-3 * Math.sqrt(500)) - 1)).toBeLessThan(0.05)
    expect(spread(false)).toBe(0)
  })

  it('moves its zero by its zero coefficient and its span by its span coefficient', () => {
    const shift = (force: number) => bridgeOutput(quiet, force, 32) - bridgeOutput(quiet, force, 22)
    expect(shift(0)).toBeCloseTo(1e-3, 12)
    expect(shift(500) - shift(0)).toBeCloseTo(2 * 5e-5 * 10, 12)
  })

  // First-order lag: 63.2 % of a step after one time constant.
  it('follows the hall with its thermal time constant', () => {
    const { chain } = settle({ ...quiet, thermalTime: 10 }, 0, 32, 10)
    expect(chain.temperature).toBeCloseTo(22 + 10 * 0.632, 1)
  })

  it('says saturated at the end of its range, and not before', () => {
    expect(settle(quiet, 740).state).toMatchObject({ saturated: false })
    expect(settle(quiet, 800).state).toEqual({ force: 800, output: 3, saturated: true, open: false })
  })

  it('an open lead runs to the rail whatever the force', () => {
    expect(settle({ ...quiet, open: true }, 100).state).toEqual({ force: 100, output: 3, saturated: true, open: true })
  })

  it('mains pickup is a line at the mains frequency, as large as it was set, less the filter', () => {
    const chain = new CellChain({ ...quiet, mainsPickup: 0.02, adcStep: 0, filterHz: 5000 }, 1, 'cell', 22)
    let top = 0
    for (let i = 0; i < 1000; i++) {
      top = Math.max(top, chain.step(0, 22, 2 * Math.PI * 50 * i * 0.001, 0.001).output)
    }
    expect(top).toBeCloseTo(0.01 + 0.02, 4)
  })

  it('noise at rest has the spread its density and the filter allow', () => {
    const density = 1e-4
    const chain = new CellChain({ ...quiet, whiteNoise: density, adcStep: 0 }, 7, 'cell', 22)
    const values = Array.from({ length: 100_000 }, () => chain.step(0, 22, 0, 0.001).output)
    const mean = values.reduce((a, b) => a + b, 0) / values.length
    const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / values.length)
    // Noise bandwidth of a second-order Butterworth low-pass is 1.111 f_c (from memory).
    expect(sd / (density * Math.sqrt(1.111 * 20))).toBeGreaterThan(0.95)
    expect(sd / (density * Math.sqrt(1.111 * 20))).toBeLessThan(1.05)
  })
})

describe('converter', () => {
  it('gives only whole steps within its range, at most half a step off', () => {
    const number = fc.double({ min: -10, max: 10, noNaN: true })
    fc.assert(
      fc.property(number, (value) => {
        const { value: got, saturated } = convert(value, -3, 3, 0.01)
        expect(Math.abs(got / 0.01 - Math.round(got / 0.01))).toBeLessThan(1e-9)
        expect(got).toBeGreaterThanOrEqual(-3 - 1e-12)
        expect(got).toBeLessThanOrEqual(3 + 1e-12)
        if (!saturated) expect(Math.abs(got - value)).toBeLessThanOrEqual(0.005 + 1e-12)
        expect(saturated).toBe(value < -3 || value > 3)
      }),
    )
  })
})
