import fc from 'fast-check'
import { describe, expect, test, vi } from 'vitest'
import { batchSeries } from '../../lib/statistics/batch-series.ts'
import { longRunVariance } from '../../lib/statistics/long-run-variance.ts'
import { estimateMean } from '../../lib/statistics/mean-estimate.ts'
import { Moments } from '../../lib/statistics/moments.ts'
import { estimateRatePerHour } from '../../lib/statistics/rate-estimate.ts'
import { averagingBuckets } from '../../lib/statistics/side-statistics.ts'
import { ar1 } from './noise-sources.ts'

// Time never decides: a busy machine takes several times longer.
vi.setConfig({ testTimeout: 120_000 })

const SERIES = [
  97.547, 100.315, 101.865, 98.219, 102.482, 97.697, 98.649, 100.88, 101.145, 101.456, 99.879, 101.618, 98.296, 101.699,
  99.755, 98.128, 99.583, 99.037, 99.651, 103.546, 101.916, 99.543, 102.082, 100.855, 101.286, 102.823, 100.769,
  104.376, 100.61, 104.429,
]
const singles = (y: readonly number[], stepMs: number) => ({
  tMs: y.map((_, i) => i * stepMs),
  n: y.map(() => 1),
  y,
})

describe('longRunVariance', () => {
  /** Mean square of the first ν orthonormal type-II cosine coefficients: scipy.fft.dct(y − ȳ, norm='ortho'), scipy 1.17.1, computed. */
  test.each([
    [20, 2, 0.5490806544948705, 0.16569258500229733],
    [30, 3, 10.0182252521265, 0.577876147403187],
  ])('of %i values is that of scipy’s cosine transform over %i terms', (m, terms, perSample, u) => {
    const series = singles(SERIES.slice(0, m), 100)
    const found = longRunVariance(series, 'mean')
    expect(found?.dof).toBe(terms)
    expect(found?.perSample).toBeCloseTo(perSample, 10)
    expect(estimateMean(series, 1)?.u).toBeCloseTo(u, 12)
  })
  test('about a straight line, and the slope per hour, are those of numpy’s QR and scipy’s linregress (computed)', () => {
    const series = singles(SERIES, 60_000)
    expect(longRunVariance(series, 'line')?.perSample).toBeCloseTo(2.7705660809181816, 8)
    const rate = estimateRatePerHour(series)
    expect(rate?.value).toBeCloseTo(6.127474972191334, 9)
    expect(rate?.u).toBeCloseTo(2.106617349945239, 9)
  })
  test('does not see a shift, scales with the square, and ignores a straight line when one was fitted', () => {
    const series = fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 10, maxLength: 64 })
    const number = fc.double({ min: -50, max: 50, noNaN: true })
    fc.assert(
      fc.property(series, number, number, (y, shift, scale) => {
        const base = singles(y, 1000)
        const mean = longRunVariance(base, 'mean')?.perSample ?? Number.NaN
        const line = longRunVariance(base, 'line')?.perSample ?? Number.NaN
        const moved = longRunVariance(
          singles(
            y.map((v) => scale * v + shift),
            1000,
          ),
          'mean',
        )?.perSample
        const tilted = longRunVariance(
          singles(
            y.map((v, i) => v + shift * i),
            1000,
          ),
          'line',
        )?.perSample
        expect(moved).toBeCloseTo(mean * scale * scale, 4)
        expect(tilted).toBeCloseTo(line, 4)
      }),
    )
  })
  test('is undefined with fewer than ten batches', () => {
    expect(longRunVariance(singles(SERIES.slice(0, 9), 100), 'mean')).toBeUndefined()
    expect(estimateRatePerHour(singles(SERIES.slice(0, 9), 100))).toBeUndefined()
  })
  test('a constant series has no random uncertainty and is worth all its samples', () => {
    const constant = estimateMean(singles(new Array<number>(20).fill(7), 100), 0)
    expect(constant).toMatchObject({ value: 7, u: 0, effectiveN: 20 })
  })
})

/**
 * Variance of the mean of n values of an AR(1) of unit variance, exactly:
 * (1/n²)[n + 2 Σ (n − h) φ^h] (e.g. P. J. Brockwell, R. A. Davis, Time Series: Theory and Methods, 7.1).
 */
function varianceOfMean(n: number, phi: number): number {
  let sum = n
  for (let h = 1; h < n; h += 1) sum += 2 * (n - h) * phi ** h
  return sum / (n * n)
}

test.each([0, 0.5, 0.9, 0.95])('u² of the mean averages to the analytic variance for AR(1), φ = %d', (phi) => {
  const runs = 600
  const n = 3000
  let sum = 0
  for (let run = 0; run < runs; run += 1) {
    const next = ar1(70_000 + run, phi)
    const window = averagingBuckets(30_000, () => new Moments())
    for (let i = 0; i < n; i += 1) window.touch(i * 10).add(next())
    const estimate = estimateMean(
      batchSeries(window.since(-1), (m) => m.mean),
      1,
    )
    sum += (estimate?.u ?? Number.NaN) ** 2
  }
  const ratio = sum / runs / varianceOfMean(n, phi)
  console.log(`AR(1) φ ${phi}: mean u² / analytic variance of the mean = ${ratio.toFixed(3)}`)
  expect(ratio).toBeGreaterThan(0.9)
  expect(ratio).toBeLessThan(1.1)
})
