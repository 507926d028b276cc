import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { choleskyOf, correlationMatrix } from '../../lib/uncertainty/correlation.ts'
import { derivative } from '../../lib/uncertainty/derivative.ts'
import { MONTE_CARLO, monteCarlo } from '../../lib/uncertainty/monte-carlo.ts'
import { propagate, propagateOne } from '../../lib/uncertainty/propagate.ts'
import { type Input, rectangular } from '../../lib/uncertainty/uncertain.ts'

const input = (name: string, value: number, u: number, more: Partial<Input> = {}): Input => ({
  name,
  unit: '1',
  value,
  u,
  ...more,
})

describe('derivative', () => {
  test.each<[string, (x: number) => number, number, number, number]>([
    ['sin at 1', Math.sin, 1, 0.01, Math.cos(1)],
    ['exp at −2', Math.exp, -2, 0.01, Math.exp(-2)],
    ['1/x at 0.05', (x) => 1 / x, 0.05, 5e-4, -400],
    ['x³ at 0', (x) => x ** 3, 0, 0.1, 0],
  ])('%s to ten digits', (_, f, x, h, expected) => {
    expect(Math.abs(derivative(f, x, h) - expected)).toBeLessThan(3e-9 * Math.max(1, Math.abs(expected)))
  })
  test('NaN where the function is undefined on one side', () => {
    expect(derivative((x) => (x > 0 ? Math.sqrt(x) : Number.NaN), 0, 0.01)).toBeNaN()
  })
})

describe('propagate', () => {
  test('a product: relative uncertainties add in squares', () => {
    const told = propagateOne(([a = 0, b = 0]) => a * b, [input('a', 10, 0.3), input('b', 5, 0.2)])
    expect(told.u / told.value).toBeCloseTo(Math.hypot(0.03, 0.04), 10)
    expect(told.budget.map((row) => row.share)).toEqual([expect.closeTo(9 / 25, 9), expect.closeTo(16 / 25, 9)])
    expect(told).toMatchObject({ k: 2, dof: null })
  })
  test('fully correlated inputs of a difference cancel, of a sum add', () => {
    const inputs = [input('a', 1, 2), input('b', 1, 2)]
    const [difference, sum] = propagate(([a = 0, b = 0]) => [a - b, a + b], inputs, [{ between: ['a', 'b'], r: 1 }])
    expect(difference?.u).toBeLessThan(1e-6)
    expect(sum?.u).toBeCloseTo(4, 9)
  })
  test('an input without uncertainty has a sensitivity and no share', () => {
    const told = propagateOne(([a = 0, b = 0]) => a * b, [input('a', 3, 0), input('b', 2, 0.1)])
    expect(told.budget[0]).toMatchObject({ sensitivity: expect.closeTo(2, 8), contribution: 0, share: 0 })
    expect(told.u).toBeCloseTo(0.3, 10)
  })
  test('an output undefined at the estimates has no number', () => {
    expect(propagateOne(([a = 0]) => Math.sqrt(a), [input('a', -1, 0.1)])).toMatchObject({
      value: Number.NaN,
      u: Number.NaN,
    })
  })
  test('refuses a correlation with what is no input, or beyond 1', () => {
    const inputs = [input('a', 1, 1), input('b', 1, 1)]
    expect(() => propagateOne(() => 0, inputs, [{ between: ['a', 'c'], r: 0.5 }])).toThrow(/"c"/)
    expect(() => propagateOne(() => 0, inputs, [{ between: ['a', 'b'], r: 1.5 }])).toThrow(RangeError)
  })
  test('linear models of normals: the law of propagation and the Monte Carlo agree, whatever the correlation', () => {
    const size = fc.double({ min: 0.1, max: 5, noNaN: true })
    fc.assert(
      fc.property(size, size, fc.double({ min: -1, max: 1, noNaN: true }), (ua, ub, r) => {
        const inputs = [input('a', 1, ua), input('b', -2, ub)]
        const model = ([a = 0, b = 0]: readonly number[]) => [2 * a - b]
        const correlations = [{ between: ['a', 'b'] as const, r }]
        const [linear] = propagate(model, inputs, correlations)
        const [drawn] = monteCarlo(model, inputs, correlations, { ...MONTE_CARLO, mostBatches: 2 })
        // Where the parts nearly cancel the spread is what rounding of r leaves.
        fc.pre((linear?.u ?? 0) > 1e-3)
        expect(Math.abs((drawn?.u ?? 0) / (linear?.u ?? 1) - 1)).toBeLessThan(0.03)
      }),
      { numRuns: 20, seed: 3 },
    )
  })
})

describe('correlations', () => {
  test('a triangle whose product is the matrix', () => {
    const names = ['a', 'b', 'c'].map((name) => input(name, 0, 1))
    const matrix = correlationMatrix(names, [
      { between: ['a', 'b'], r: -0.36 },
      { between: ['a', 'c'], r: 0.86 },
      { between: ['b', 'c'], r: -0.65 },
    ])
    const lower = choleskyOf(matrix)
    matrix.forEach((row, i) => {
      row.forEach((r, j) => {
        const product = (lower[i] ?? []).reduce((sum, l, k) => sum + l * (lower[j]?.[k] ?? 0), 0)
        expect(product).toBeCloseTo(r, 12)
      })
    })
  })
  test('refuses coefficients that contradict one another', () => {
    const names = ['a', 'b', 'c'].map((name) => input(name, 0, 1))
    const matrix = correlationMatrix(names, [
      { between: ['a', 'b'], r: 0.9 },
      { between: ['b', 'c'], r: 0.9 },
      { between: ['a', 'c'], r: -0.9 },
    ])
    expect(() => choleskyOf(matrix)).toThrow(RangeError)
  })
  test('refuses to draw a correlated input that is no plain normal', () => {
    const inputs = [input('a', 0, 1, { shape: 'rectangular' }), input('b', 0, 1)]
    const draw = () => monteCarlo(([a = 0]) => [a], inputs, [{ between: ['a', 'b'], r: 0.5 }], MONTE_CARLO)
    expect(draw).toThrow(/"a" is correlated/)
  })
})

test('rectangular: half the width over √3', () => {
  expect(rectangular(5, 3)).toEqual({ value: 5, u: 3 / Math.sqrt(3), shape: 'rectangular' })
})

test('a Monte Carlo of the same seed gives the same figures, and counts its draws', () => {
  const run = (seed: number) =>
    monteCarlo(([a = 0]) => [a ** 2], [input('a', 3, 0.1, { dof: 5 })], [], { ...MONTE_CARLO, seed, mostBatches: 3 })[0]
  expect(run(4)).toEqual(run(4))
  expect(run(4)?.mean).not.toBe(run(5)?.mean)
  expect(run(4)?.draws).toBe(30_000)
})
