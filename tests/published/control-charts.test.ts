import { describe, expect, test } from 'vitest'
import { cusum } from '../../lib/drift/cusum.ts'
import { ewma, ewmaLimit } from '../../lib/drift/ewma.ts'
import { normal } from '../statistics/noise-sources.ts'

describe('EWMA, NIST/SEMATECH e-Handbook 6.3.2.4: twenty values about 50 (V2)', () => {
  const x = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6,
    52.1,
  ]
  const printed = [
    50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38, 49.92,
    50.73, 51.23, 51.94, 51.99,
  ]
  test('gives the printed averages to their two decimals', () => {
    for (const [i, z] of ewma(x, 0.3, 50).entries()) expect(Math.abs(z - (printed[i] ?? 0))).toBeLessThan(0.00501)
  })
  test('limits 52.5884 and 47.4115 (one is printed with √(0.3/1.7) rounded: 1e-4)', () => {
    const half = 2.0539 * ewmaLimit(0.3, 3)
    expect(Math.abs(50 + half - 52.5884)).toBeLessThan(1e-4)
    expect(Math.abs(50 - half - 47.4115)).toBeLessThan(1e-4)
  })
})

describe('CUSUM, NIST/SEMATECH e-Handbook 6.3.2.3: twenty group means about 325 (V2)', () => {
  const x = [
    324.925, 324.675, 324.725, 324.35, 325.35, 325.225, 324.125, 324.525, 325.225, 324.6, 324.625, 325.15, 328.325,
    327.25, 327.825, 328.5, 326.675, 327.775, 326.875, 328.35,
  ]
  const high = [0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.0, 19.04]
  const low = [0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, 0, 0, 0, 0, 0, 0, 0, 0]
  const sums = cusum(x, 325, 0.3175)
  test('gives the printed sums to their two decimals', () => {
    for (let i = 0; i < 20; i += 1) {
      expect(Math.abs((sums.high[i] ?? 9) - (high[i] ?? 0))).toBeLessThan(0.00501)
      expect(Math.abs((sums.low[i] ?? 9) - (low[i] ?? 0))).toBeLessThan(0.00501)
    }
  })
  test('signals first at group 14, at h = 4.1959', () => {
    expect(sums.high.findIndex((sum) => sum > 4.1959) + 1).toBe(14)
  })
})

/**
 * Average run lengths on independent normal values, from the integral equation (Nyström, 60 Gauss–Legendre nodes: C).
 * 3000 seeded runs tell a mean run length to 2 %; four standard errors are allowed.
 */
describe('average run lengths on independent values are the tabled ones', () => {
  const RUNS = 3000
  function runLength(signalsOf: (x: number[]) => number, shift: number, atMost: number): number {
    const next = normal(17)
    let sum = 0
    for (let run = 0; run < RUNS; run += 1) {
      const x = Array.from({ length: atMost }, () => next() + shift)
      const at = signalsOf(x)
      if (at < 0) throw new Error('a run was cut short')
      sum += at + 1
    }
    return sum / RUNS
  }
  test.each([
    [4, 0.5, 26.63020308887029],
    [4, 1, 8.383131870495168],
    [5, 1, 10.375969921593658],
    [5, 2, 4.008871061031059],
  ])('CUSUM k 0.5, h %f, shift %f σ: %f', (h, shift, tabled) => {
    const mean = runLength(
      (x) => {
        const { high, low } = cusum(x, 0, 0.5)
        return x.findIndex((_, i) => Math.max(high[i] ?? 0, low[i] ?? 0) > h)
      },
      shift,
      400,
    )
    expect(Math.abs(mean / tabled - 1)).toBeLessThan(4 / Math.sqrt(RUNS))
  })
  test.each([
    [0.1, 2.7, 1, 9.730011622255336],
    [0.2, 2.962, 1, 10.541665796564407],
    [0.3, 3, 1, 11.698628531941408],
    [0.1, 2.7, 0.5, 28.190539620470414],
  ])('EWMA λ %f, L %f, shift %f σ: %f', (lambda, L, shift, tabled) => {
    const limit = ewmaLimit(lambda, L)
    const mean = runLength((x) => ewma(x, lambda, 0).findIndex((z) => Math.abs(z) > limit), shift, 600)
    expect(Math.abs(mean / tabled - 1)).toBeLessThan(4 / Math.sqrt(RUNS))
  })
})
