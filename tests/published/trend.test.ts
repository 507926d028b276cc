import { describe, expect, test } from 'vitest'
import { exactTail, mannKendall, rankVarianceFactor } from '../../lib/drift/mann-kendall.ts'
import { normalTwoTail } from '../../lib/drift/normal.ts'
import { theilSen } from '../../lib/drift/theil-sen.ts'
import { absent, runPython, titled } from '../http/support/python-peer.ts'
import { ar1, normal } from '../statistics/noise-sources.ts'

const Z95 = 1.959963984540054
/** Φ⁻¹(0.965): 93 %. */
const Z93 = 1.8119106729525978
const upTo = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1)

describe('P. K. Sen 1968, J. Am. Stat. Assoc. 63: the example of seven points (data and figures V2)', () => {
  const x = [1, 2, 3, 4, 10, 12, 18]
  const y = [9, 15, 19, 20, 45, 55, 78]
  const line = theilSen(x, y)

  test('slope 4, 93 % interval 26/7 to 35/8', () => {
    expect(line?.slope).toBe(4)
    const { low, high } = line?.interval(Z93) ?? {}
    expect(low).toBeCloseTo(26 / 7, 12)
    expect(high).toBeCloseTo(35 / 8, 12)
  })

  test('intercept 4 and the same interval at 95 %, the steps of so few slopes being wide (scipy 1.10.1: C)', () => {
    expect(line?.intercept).toBe(4)
    const { low, high } = line?.interval(Z95) ?? {}
    expect(low).toBeCloseTo(3.7142857142857144, 12)
    expect(high).toBeCloseTo(4.375, 12)
  })

  test('every pair rises: S 21, one of the two extreme of 5040 orderings', () => {
    const told = mannKendall(y)
    expect(told).toMatchObject({ S: 21, tau: 1, method: 'exact' })
    expect(told?.p).toBeCloseTo(2 / 5040, 15)
  })
})

describe('EPA QA/G-9S, p. 109: eleven values with ties (data and S, Var, Z V2; the rest scipy 1.10.1: C)', () => {
  const y = [10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15]
  test('S 22, Var(S) 155.33, Z 1.685', () => {
    const told = mannKendall(y)
    expect(told).toMatchObject({ S: 22, method: 'normal' })
    expect(told?.variance).toBeCloseTo(155.33333333333334, 10)
    // Two-sided p of Z = 21/√155.33 = 1.68495.
    expect(told?.p).toBeCloseTo(0.09199825920605484, 12)
  })
  test('slope 1, intercept 9, 95 % interval 0 to 2', () => {
    const line = theilSen(upTo(11), y)
    expect(line).toMatchObject({ slope: 1, intercept: 9 })
    expect(line?.interval(Z95)).toEqual({ low: 0, high: 2 })
  })
})

describe('Holy Cross, example by hand of a Mann–Kendall test: 14 values (data V2; figures scipy 1.10.1: C)', () => {
  const y = [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7]
  test('S 54, Var(S) 332.667, p 0.00366', () => {
    const told = mannKendall(y)
    expect(told?.S).toBe(54)
    expect(told?.variance).toBeCloseTo(332.6666666666667, 10)
    expect(told?.p).toBeCloseTo(0.003662723762882436, 12)
  })
  test('slope 0.5667, intercept 11.4, 95 % interval 0.325 to 0.867', () => {
    const line = theilSen(upTo(14), y)
    expect(line?.slope).toBeCloseTo(0.566666666666667, 12)
    expect(line?.intercept).toBeCloseTo(11.399999999999995, 12)
    const { low, high } = line?.interval(Z95) ?? {}
    expect(low).toBeCloseTo(0.3250000000000002, 12)
    expect(high).toBeCloseTo(0.8666666666666666, 12)
  })
})

/** P(S ≥ s), from scipy’s exact null distribution of Kendall’s tau (1.10.1: C). */
const TAILS: Readonly<Record<number, Readonly<Record<number, number>>>> = {
  4: { 0: 0.625, 2: 0.375, 4: 0.16666666666666666, 6: 0.041666666666666664 },
  5: { 2: 0.4083333333333333, 6: 0.11666666666666667, 10: 0.008333333333333333 },
  6: { 1: 0.5, 7: 0.1361111111111111, 15: 0.001388888888888889 },
  7: { 3: 0.3863095238095238, 11: 0.06805555555555555, 21: 0.0001984126984126984 },
  8: { 4: 0.3597718253968254, 16: 0.03050595238095238, 28: 2.48015873015873e-5 },
  9: { 6: 0.3061011904761905, 20: 0.02230764991181658, 36: 2.7557319223985893e-6 },
  10: { 5: 0.3637447641093474, 21: 0.03627507716049383, 33: 0.0011064263668430336, 45: 2.755731922398589e-7 },
}
test('exact tails of Mann–Kendall for 4 to 10 values', () => {
  for (const [n, tails] of Object.entries(TAILS))
    for (const [s, p] of Object.entries(tails)) expect(exactTail(Number(n), Number(s))).toBeCloseTo(p, 14)
})

test('two-sided tails of the normal distribution (Abramowitz & Stegun table 26.2, quantiles as of R qnorm: V2)', () => {
  for (const [z, p] of [
    [0, 1],
    [1.2815515655446004, 0.2],
    [1.959963984540054, 0.05],
    [2.5758293035489004, 0.01],
    [2.9999769927034015, 0.0027],
    [4, 6.334248366623996e-5],
    [8, 1.2441921148543639e-15],
  ] as const)
    expect(Math.abs(normalTwoTail(z) / p - 1)).toBeLessThan(1e-12)
})

const noScipy = absent('scipy')
const PEER = `
import json, sys
import numpy as np
from scipy import stats
out = []
for case in json.load(sys.stdin):
    x, y = case['x'], case['y']
    slope, intercept, low, high = stats.theilslopes(y, x)
    r = stats.rankdata(y) - (len(y) + 1) / 2
    n = len(y)
    factor = 1.0
    for lag in range(1, n - 2):
        rho = float(np.dot(r[lag:], r[:n - lag]) / np.dot(r, r))
        if abs(rho) > stats.norm.ppf(0.975) / np.sqrt(n):
            factor += 2.0 / (n * (n - 1) * (n - 2)) * (n - lag) * (n - lag - 1) * (n - lag - 2) * rho
    tau = stats.kendalltau(x, y)
    out.append(dict(slope=slope, intercept=intercept, low=low, high=high, tau=tau[0], p=tau[1], factor=max(1 / n, factor)))
print(json.dumps(out))
`

interface PeerLine {
  readonly slope: number
  readonly intercept: number
  readonly low: number
  readonly high: number
  readonly tau: number
  readonly p: number
  readonly factor: number
}

describe.skipIf(noScipy !== null)(titled('scipy as a peer, on seeded series', noScipy), () => {
  const series = [8, 13, 40, 121].flatMap((n) =>
    [1, 2, 3].map((seed) => {
      const [steps, noise] = [normal(100 * n + seed), ar1(seed + n, 0.6)]
      let x = 0
      const points = Array.from({ length: n }, (_, i) => {
        x += 0.5 + Math.abs(steps())
        const y = 0.05 * i + noise()
        // Every third series is rounded, so that it holds ties.
        return [x, seed === 3 ? Math.round(2 * y) / 2 : y] as const
      })
      return { x: points.map(([a]) => a), y: points.map(([, b]) => b) }
    }),
  )
  const told = noScipy === null ? (runPython(PEER, series) as PeerLine[]) : []

  test('theilslopes gives the same slope, intercept and 95 % interval', () => {
    for (const [i, { x, y }] of series.entries()) {
      const line = theilSen(x, y)
      const { low, high } = line?.interval(Z95) ?? {}
      for (const [ours, theirs] of [
        [line?.slope, told[i]?.slope],
        [line?.intercept, told[i]?.intercept],
        [low, told[i]?.low],
        [high, told[i]?.high],
      ])
        expect(ours).toBeCloseTo(theirs as number, 11)
    }
  })

  test('kendalltau gives the same tau, and for few values without ties the same exact p', () => {
    for (const [i, { y }] of series.entries()) {
      if (new Set(y).size < y.length) continue
      const test = mannKendall(y)
      expect(test?.tau).toBeCloseTo(told[i]?.tau as number, 12)
      if (test?.method === 'exact') expect(test.p).toBeCloseTo(told[i]?.p as number, 12)
    }
  })

  test('the factor of Hamed & Rao 1998 written down anew with numpy is the same', () => {
    for (const [i, { y }] of series.entries()) expect(rankVarianceFactor(y)).toBeCloseTo(told[i]?.factor as number, 11)
  })
})
