import { describe, expect, test } from 'vitest'
import { compare, estimate } from '../../lib/uncertainty/estimate.ts'
import { MONTE_CARLO, monteCarlo } from '../../lib/uncertainty/monte-carlo.ts'
import { propagate, propagateOne } from '../../lib/uncertainty/propagate.ts'
import { numericalTolerance } from '../../lib/uncertainty/tolerance.ts'
import type { Input } from '../../lib/uncertainty/uncertain.ts'

const input = (name: string, value: number, u: number, more: Partial<Input> = {}): Input => ({
  name,
  unit: '1',
  value,
  u,
  ...more,
})

describe('JCGM 100 (GUM)', () => {
  // H.2, resistance and reactance from V, I, φ with correlated means: inputs and 127.732(70), 219.85(30), 254.26(24)
  // read in the documentation of GTC (Measurement Standards Laboratory of New Zealand), which works that example.
  test('H.2: simultaneous resistance and reactance, three correlated inputs', () => {
    const inputs = [input('V', 4.999, 3.2e-3), input('I', 19.661e-3, 9.5e-6), input('φ', 1.04446, 7.5e-4)]
    const [r, x, z] = propagate(
      ([v = 0, i = 0, phi = 0]) => [(v / i) * Math.cos(phi), (v / i) * Math.sin(phi), v / i],
      inputs,
      [
        { between: ['V', 'I'], r: -0.36 },
        { between: ['V', 'φ'], r: 0.86 },
        { between: ['I', 'φ'], r: -0.65 },
      ],
    )
    expect(r?.value).toBeCloseTo(127.732, 3)
    expect(x?.value).toBeCloseTo(219.847, 2)
    expect(z?.value).toBeCloseTo(254.26, 2)
    expect(Math.abs((r?.u ?? 0) - 0.07)).toBeLessThanOrEqual(0.0005)
    expect(Math.abs((x?.u ?? 0) - 0.3)).toBeLessThanOrEqual(0.005)
    expect(Math.abs((z?.u ?? 0) - 0.24)).toBeLessThanOrEqual(0.005)
    for (const told of [r, x, z]) expect(told?.budget.reduce((sum, row) => sum + row.share, 0)).toBeCloseTo(1, 12)
  })
  // H.3, thermometer calibration: y1 −0.1712(29), y2 0.00218(67), r −0.93 give b(30 °C) = −0.1494(41), t0 = 20 °C
  // (read in a secondary copy); the digits below computed with scipy from the example's data.
  test('H.3: predicted correction of a thermometer at 30 °C', () => {
    const b = propagateOne(
      ([y1 = 0, y2 = 0]) => y1 + y2 * (30 - 20),
      [
        input('y1', -0.1712037901313499, 0.0028775978351599603, { dof: 9 }),
        input('y2', 0.0021826977398872738, 0.0006679387732278333, { dof: 9 }),
      ],
      [{ between: ['y1', 'y2'], r: -0.930429603093446 }],
    )
    expect(b.value).toBeCloseTo(-0.14937681273247716, 12)
    expect(b.u).toBeCloseTo(0.004138595752854957, 10)
    // Both come from one fit of 11 points: 9 degrees of freedom for whatever is made of them.
    expect(b.dof).toBeCloseTo(9, 9)
    expect(b.k).toBeCloseTo(2.262, 3)
  })
  // H.1, end gauge: parts in nm with their degrees of freedom give u 32 and ν_eff 16.7 (from memory, no document seen;
  // the fourth of the parts that count is 16.6 nm on 2).
  test('H.1: effective degrees of freedom of the end gauge', () => {
    const told = propagateOne(
      (x) => x.reduce((sum, part) => sum + part, 0),
      [
        input('standard', 0, 25, { dof: 18 }),
        input('difference', 0, 9.7, { dof: 25.6 }),
        input('expansion', 0, 2.9, { dof: 50 }),
        input('temperature', 0, 16.6, { dof: 2 }),
      ],
    )
    expect(told.u).toBeCloseTo(32, 0)
    expect(Math.abs((told.dof ?? 0) - 16.7)).toBeLessThan(0.1)
  })
})

describe('JCGM 101', () => {
  const four = (shape: 'normal' | 'rectangular', last = 1) =>
    [1, 2, 3, 4].map((i) => input(`X${i}`, 0, i === 4 ? last : 1, { shape }))
  const sum = (x: readonly number[]) => [x.reduce((total, part) => total + part, 0)]
  const options = { ...MONTE_CARLO, digits: 2 as const }

  // 9.2.2 to 9.2.4, additive model: intervals ±3.92, ±3.88, ±17.0 as in the standard's tables (from memory, no document
  // seen); ±3.919928, ±3.879407 (Irwin–Hall), ±16.994797 computed exactly with scipy 1.10.1.
  test.each([
    ['four normals', four('normal'), 2, 3.919928, true],
    ['four rectangular', four('rectangular'), 2, 3.87940674134783, true],
    [
      'three normals and one wide rectangular',
      [...four('normal').slice(0, 3), input('X4', 0, 10, { shape: 'rectangular' as const })],
      Math.sqrt(103),
      16.99479720306366,
      false,
    ],
  ] as const)('9.2 additive model, %s', (_, inputs, u, half, agrees) => {
    const [told] = estimate(sum, inputs, [], { ...options, mostBatches: 60 })
    if (told === undefined) throw new Error('one output')
    expect(told.linear.u).toBeCloseTo(u, 9)
    expect(told.distribution.stable).toBe(true)
    expect(Math.abs(told.distribution.u / u - 1)).toBeLessThan(0.01)
    expect(Math.abs(told.distribution.low + half)).toBeLessThan(4 * told.distribution.error)
    expect(Math.abs(told.distribution.high - half)).toBeLessThan(4 * told.distribution.error)
    // ±3.92 against ±3.88 is within half a unit of the last digit of u = 2.0; ±19.9 against ±17.0 is not.
    const exact = { ...told.distribution, u, low: -half, high: half, error: 0 }
    expect(compare(told.linear, exact, 2).agree).toBe(agrees)
    expect(told.method).toBe(agrees ? 'linear' : 'monte-carlo')
  })

  // 9.4, comparison loss X1² + X2² at 0 ± 0.005: mean 50e-6, u 50e-6, 95 % up to 150e-6 one-sided (from memory; chi-square
  // of 2 degrees exactly). The law of propagation gives u = 0: the Monte Carlo must take over.
  test('9.4 comparison loss, uncorrelated: the linear uncertainty is 0 and is not used', () => {
    const inputs = [input('X1', 0, 0.005), input('X2', 0, 0.005)]
    const [told] = estimate(([a = 0, b = 0]) => [a * a + b * b], inputs, [], options)
    expect(told?.linear.u).toBeLessThan(1e-12)
    expect(told?.method).toBe('monte-carlo')
    expect(told?.value).toBeGreaterThan(49e-6)
    expect(told?.value).toBeLessThan(51e-6)
    expect(told?.u).toBeGreaterThan(49e-6)
    expect(told?.u).toBeLessThan(51e-6)
    // scipy: 25e-6 · chi2.ppf([0.025, 0.975], 2).
    expect(Math.abs((told?.low ?? 0) - 1.2658904e-6)).toBeLessThan(0.1e-6)
    expect(Math.abs((told?.high ?? 0) - 184.443973e-6)).toBeLessThan(3e-6)
  })
  test('9.4 comparison loss, r = 0.9: u 67e-6 as printed (from memory), ends by scipy', () => {
    const inputs = [input('X1', 0, 0.005), input('X2', 0, 0.005)]
    const [told] = monteCarlo(([a = 0, b = 0]) => [a * a + b * b], inputs, [{ between: ['X1', 'X2'], r: 0.9 }], options)
    expect(Math.abs((told?.u ?? 0) - 67.26812023536856e-6)).toBeLessThan(1.5e-6)
    expect(Math.abs((told?.high ?? 0) - 241.21718704e-6)).toBeLessThan(4 * (told?.error ?? 0))
  })

  // 7.9.2: examples of the standard (from memory): 0.035 g kept to two digits has δ = 0.0005 g, 2 K to one digit 0.5 K.
  test('7.9.2 numerical tolerance', () => {
    expect(numericalTolerance(0.035, 2)).toBeCloseTo(0.0005, 15)
    expect(numericalTolerance(2, 1)).toBe(0.5)
    expect(numericalTolerance(0.00035, 2)).toBeCloseTo(0.000005, 15)
    // Rounding carries over: 0.0997 to two digits is 0.10.
    expect(numericalTolerance(0.0997, 2)).toBeCloseTo(0.005, 15)
    expect(numericalTolerance(0, 2)).toBe(0)
  })
  test('8.1: a draw at which the output is undefined is a disagreement', () => {
    const inputs = [input('X', 1, 0.5)]
    const model = ([x = 0]: readonly number[]) => [x > 0 ? x : Number.NaN]
    const [distribution] = monteCarlo(model, inputs, [], options)
    if (distribution === undefined) throw new Error('one output')
    // P(normal < −2) = 2.28 %.
    expect(Math.abs(distribution.undefinedDraws / distribution.draws - 0.02275)).toBeLessThan(0.003)
    expect(
      compare(
        propagateOne(([x = 0]) => x, inputs),
        distribution,
        2,
      ).agree,
    ).toBe(false)
  })
})
