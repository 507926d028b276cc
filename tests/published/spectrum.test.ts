import { describe, expect, it } from 'vitest'
import { candidates } from '../../lib/spectrum/candidates.ts'
import { HANN_NOISE_BANDWIDTH, hannLobe, hannWindow, independentSegments } from '../../lib/spectrum/hann.ts'
import { lombScargle } from '../../lib/spectrum/lomb-scargle.ts'
import { directSums, fastSums } from '../../lib/spectrum/uneven-sums.ts'
import { finish, welch } from '../../lib/spectrum/welch.ts'
import { fUpperTail } from '../../lib/statistics/f-distribution.ts'
import {
  EVEN_POWER,
  EVEN_Y,
  HANN_32,
  LOMB_FIT_MEAN,
  LOMB_P,
  LOMB_T,
  LOMB_Y,
  WELCH_BOXCAR,
  WELCH_HANN_CONSTANT,
  WELCH_HANN_LINEAR,
  WELCH_HANN_SPECTRUM,
  WELCH_X,
} from './spectrum-data.ts'

// Status of each figure: C computed outside (see spectrum-data.ts); M from memory, no document seen.

const expectEach = (found: ArrayLike<number>, wanted: readonly number[], relative = 1e-9) => {
  expect(found).toHaveLength(wanted.length)
  wanted.forEach((value, i) => {
    const off = Math.abs((found[i] ?? Number.NaN) - value)
    expect(off, `at ${i}`).toBeLessThan(relative * Math.abs(value) + 1e-13)
  })
}

/** Equivalent noise bandwidth of a window, Σw²·N/(Σw)² (Harris 1978), in bins. */
function noiseBandwidthBins(window: Float64Array): number {
  const sum = window.reduce((all, w) => all + w, 0)
  const squares = window.reduce((all, w) => all + w * w, 0)
  return (window.length * squares) / (sum * sum)
}

describe('Welch, against scipy', () => {
  const settings = { rateHz: 100, overlap: 16, window: hannWindow(32) }
  const density = (detrend: 'constant' | 'linear') => finish(welch(WELCH_X, { ...settings, detrend })).density

  it('Hann, half overlap, mean removed', () => expectEach(density('constant'), WELCH_HANN_CONSTANT))
  it('Hann, half overlap, straight line removed', () => expectEach(density('linear'), WELCH_HANN_LINEAR))
  it('one rectangular segment, nothing removed', () => {
    const window = new Float64Array(128).fill(1)
    const { density: found, binHz } = finish(welch(WELCH_X, { rateHz: 100, overlap: 0, window, detrend: 'none' }))
    expect(binHz).toBe(0.781_25)
    expectEach(found, WELCH_BOXCAR)
  })
  it('power density times the noise bandwidth is the power spectrum', () => {
    const bandwidth = noiseBandwidthBins(settings.window) * (100 / 32)
    expectEach(
      density('constant').map((power) => power * bandwidth),
      WELCH_HANN_SPECTRUM,
    )
  })
})

describe('Lomb–Scargle, against scipy and astropy', () => {
  const uneven = (values: readonly number[]) => ({
    times: Float64Array.from(LOMB_T),
    values: Float64Array.from(values),
    weights: new Float64Array(LOMB_T.length).fill(1),
  })
  const mean = LOMB_Y.reduce((sum, y) => sum + y / LOMB_Y.length, 0)
  const centred = LOMB_Y.map((y) => y - mean)

  it.each([
    ['term by term', directSums, 1e-9],
    // The fast sums want times within one period of the grid: 0.02 Hz holds 50 s.
    ['by the fast sums', fastSums, 1e-5],
  ] as const)('Scargle’s power, %s', (_, sums, relative) => {
    const fits = lombScargle(uneven(centred), 0.02, 32, { floatingMean: false, sums })
    expectEach(
      fits.slice(1, 31).map(({ reduction }) => reduction / 2),
      LOMB_P,
      relative,
    )
  })
  it('with the mean fitted beside the sine', () => {
    const total = centred.reduce((sum, y) => sum + y * y, 0)
    const fits = lombScargle(uneven(LOMB_Y), 0.02, 32, { floatingMean: true, sums: directSums })
    expectEach(
      fits.slice(1, 31).map(({ reduction }) => reduction / total),
      LOMB_FIT_MEAN,
      1e-8,
    )
  })
  it('on even times the power is |X|²/N', () => {
    const samples = {
      times: Float64Array.from(EVEN_Y, (_, i) => i / 2),
      values: Float64Array.from(EVEN_Y),
      weights: new Float64Array(32).fill(1),
    }
    const fits = lombScargle(samples, 1 / 16, 16, { floatingMean: false, sums: directSums })
    expectEach(
      fits.slice(1).map(({ reduction }) => reduction / 2),
      EVEN_POWER,
      1e-9,
    )
  })
})

describe('the Hann window', () => {
  it('is scipy’s', () => expectEach(hannWindow(32), HANN_32, 1e-12))
  // Harris 1978, table 1 (M): ENBW 1.50 bins, 6 dB down 2.00 bins apart, scalloping 1.42 dB, highest sidelobe −32 dB (−31.5).
  it('noise bandwidth 1.50 bins, 6 dB bandwidth 2.00 bins, scalloping 1.42 dB, sidelobe −31.5 dB', () => {
    const decibels = (share: number) => 20 * Math.log10(Math.abs(share))
    expect(HANN_NOISE_BANDWIDTH).toBe(1.5)
    expect(noiseBandwidthBins(hannWindow(64))).toBeCloseTo(HANN_NOISE_BANDWIDTH, 12)
    expect(decibels(hannLobe(1))).toBeCloseTo(-6.02, 2)
    expect(decibels(hannLobe(0.5))).toBeCloseTo(-1.42, 2)
    const sidelobe = Math.max(...Array.from({ length: 100 }, (_, i) => Math.abs(hannLobe(2 + i / 100))))
    expect(decibels(sidelobe)).toBeCloseTo(-31.5, 1)
  })
  it('overlapping by half, ten segments tell as much as 9.5 apart (ρ = 1/6 for Hann, Welch 1967; M)', () => {
    expect(independentSegments(1)).toBe(1)
    expect(independentSegments(10)).toBeCloseTo(10 / (1 + 2 * (9 / 10) * (1 / 6) ** 2), 12)
  })
})

describe('where a line is seen', () => {
  const at = (rateHz: number, speed: number, diameter: number) =>
    candidates({
      rateHz,
      speed: { mean: speed, uRelative: 0, change: 0 },
      rollers: [{ name: 'r', diameter, uDiameter: 0 }],
      ownTurn: null,
      naturalHz: null,
    })
  const seen = (rateHz: number, kind: string, order: number, base: number) =>
    at(rateHz, 5, 0.15).find(
      (one) => one.kind === kind && one.order === order && Math.abs(one.frequency - base * order) < 1e-9,
    )

  // Orders (C): 300 m/min on 150 mm is 10.61032953945969 Hz, 120 m/min on 76.2 mm 8.354590188550935 Hz.
  it('a roller’s turn: 300 m/min on 150 mm is 10.610 Hz, 120 m/min on 76.2 mm is 8.3546 Hz', () => {
    const turn = (speed: number, diameter: number) =>
      at(100, speed, diameter).find(({ kind, order }) => kind === 'turn' && order === 1)?.frequency
    expect(turn(5, 0.15)).toBeCloseTo(10.610_329_539_459_69, 9)
    expect(turn(2, 0.0762)).toBeCloseTo(8.354_590_188_550_935, 9)
  })
  // Aliases (V2/C): 60 at 50 is 10; 30 at 50 is 20; 70 at 100 is 30; 100 at 100 is 0; 51 at 20 is 9; 10.6103 at 10 is 0.6103.
  it('mains: 60 Hz at 50/s folds to 10 Hz; 100 Hz at 100/s to 0 Hz', () => {
    expect(seen(50, 'mains', 1, 60)).toMatchObject({ seenHz: 10, folded: true })
    expect(seen(100, 'mains', 2, 50)).toMatchObject({ seenHz: 0, folded: true })
    expect(seen(1000, 'mains', 2, 60)).toMatchObject({ seenHz: 120, folded: false })
  })
  it('a roller faster than half the rate: 10.6103 Hz at 10/s is seen at 0.6103 Hz', () => {
    const turn = at(10, 5, 0.15).find(({ kind, order }) => kind === 'turn' && order === 1)
    expect(turn?.folded).toBe(true)
    expect(turn?.seenHz).toBeCloseTo(0.6103, 4)
  })
})

describe('chance of a line by noise', () => {
  // Tables of χ² (M): 5 % of χ² with 10 degrees lies over 18.307, 0.1 % over 29.588; F with endless second degrees is χ²/ν.
  it('F with very many degrees in the floor is χ²/ν: 18.307/10 at 5 %, 29.588/10 at 0.1 %', () => {
    expect(fUpperTail(1.8307, 10, 1e7)).toBeCloseTo(0.05, 4)
    expect(fUpperTail(2.9588, 10, 1e7)).toBeCloseTo(0.001, 5)
  })
})
