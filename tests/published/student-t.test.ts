import { describe, expect, test } from 'vitest'
import { studentTwoTail, t95 } from '../../lib/statistics/student-t.ts'

/**
 * NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, upper critical values of Student's t, column 0.975
 * (0.025 exceedance), printed to three decimals; read in copies that name that table as their source.
 */
const E_HANDBOOK: readonly (readonly [dof: number, t: number])[] = [
  [1, 12.706],
  [2, 4.303],
  [3, 3.182],
  [4, 2.776],
  [5, 2.571],
  [6, 2.447],
  [7, 2.365],
  [8, 2.306],
  [9, 2.262],
  [10, 2.228],
  [11, 2.201],
  [12, 2.179],
  [13, 2.16],
  [14, 2.145],
  [15, 2.131],
  [16, 2.12],
  [17, 2.11],
  [18, 2.101],
  [19, 2.093],
  [20, 2.086],
  [21, 2.08],
  [22, 2.074],
  [23, 2.069],
  [24, 2.064],
  [25, 2.06],
  [26, 2.056],
  [27, 2.052],
  [28, 2.048],
  [29, 2.045],
  [30, 2.042],
  [40, 2.021],
  [60, 2.0],
  [100, 1.984],
  [Number.POSITIVE_INFINITY, 1.96],
]

/** Computed with scipy 1.17.1 (stats.t.ppf(0.975, ν)); R 4.2.2 qt agrees. */
const SCIPY: readonly (readonly [dof: number, t: number])[] = [
  [1, 12.706204736174694],
  [2, 4.302652729749462],
  [3, 3.1824463052837078],
  [4, 2.7764451051977934],
  [5, 2.5705818356363146],
  [8, 2.306004135204166],
  [9, 2.262157162798205],
  [10, 2.228138851986274],
  [20, 2.085963447265864],
  [30, 2.0422724563012378],
  [38, 2.0243941639119694],
  [60, 2.0002978220142604],
  [98, 1.9844674545084815],
  [120, 1.9799304050824402],
]

describe('t95', () => {
  test.each(E_HANDBOOK)('ν = %d is %d in the e-Handbook table', (dof, t) => {
    expect(Math.abs(t95(dof) - t)).toBeLessThanOrEqual(0.00051)
  })
  test.each(SCIPY)('ν = %d agrees with scipy to 12 digits', (dof, t) => {
    expect(Math.abs(t95(dof) / t - 1)).toBeLessThan(1e-12)
  })
  test('is continuous where the expansion for large ν takes over', () => {
    expect(Math.abs(t95(10_000) - t95(10_001))).toBeLessThan(1e-7)
  })
  test('the tail of t on one degree of freedom is the Cauchy distribution’s', () => {
    for (const t of [0.01, 0.5, 1, 3, 100])
      expect(studentTwoTail(t, 1)).toBeCloseTo(1 - (2 / Math.PI) * Math.atan(t), 13)
  })
  test('refuses less than one degree of freedom', () => {
    expect(() => t95(0.5)).toThrow(RangeError)
    expect(() => t95(Number.NaN)).toThrow(RangeError)
  })
})
