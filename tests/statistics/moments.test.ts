import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { BivariateMoments } from '../../lib/statistics/bivariate-moments.ts'
import { straightLineOf } from '../../lib/statistics/line-moments.ts'
import { Moments } from '../../lib/statistics/moments.ts'

const value = fc.double({ min: -1e4, max: 1e4, noNaN: true })
const values = fc.array(value, { minLength: 2, maxLength: 60 })

const momentsOf = (xs: readonly number[]): Moments => {
  const m = new Moments()
  for (const x of xs) m.add(x)
  return m
}
const pairsOf = (xs: readonly (readonly [number, number])[]): BivariateMoments => {
  const m = new BivariateMoments()
  for (const [x, y] of xs) m.add(x, y)
  return m
}
/** Σ(x − mean)² in two passes. */
const twoPass = (xs: readonly number[]): number => {
  const mean = xs.reduce((a, b) => a + b, 0) / xs.length
  return xs.reduce((sum, x) => sum + (x - mean) ** 2, 0)
}
const close = (a: number, b: number, scale: number) => expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-9 * (1 + scale))

describe('Moments', () => {
  test('are those of pandas’ rolling mean and std on a window of 7 (pandas with numpy 1.24, computed)', () => {
    const m = momentsOf([97.547, 100.315, 101.865, 98.219, 102.482, 97.697, 98.649])
    expect(m.mean).toBeCloseTo(99.53914285714286, 12)
    expect(Math.sqrt(m.variance ?? 0)).toBeCloseTo(2.0235788781736375, 12)
    expect([m.min, m.max]).toEqual([97.547, 102.482])
  })
  test('shift moves the mean and leaves the spread', () => {
    fc.assert(
      fc.property(values, value, (xs, shift) => {
        const moved = momentsOf(xs.map((x) => x + shift))
        const still = momentsOf(xs)
        close(moved.mean, still.mean + shift, 1e4)
        close(moved.m2, still.m2, still.m2 + 1e4)
      }),
    )
  })
  test('scale multiplies the spread by its square', () => {
    fc.assert(
      fc.property(values, fc.double({ min: -100, max: 100, noNaN: true }), (xs, scale) => {
        close(momentsOf(xs.map((x) => x * scale)).m2, momentsOf(xs).m2 * scale * scale, twoPass(xs) * scale * scale)
      }),
    )
  })
  test('merge gives the same in any order and any cut', () => {
    fc.assert(
      fc.property(values, values, values, (a, b, c) => {
        const forward = momentsOf(a)
        forward.merge(momentsOf(b))
        forward.merge(momentsOf(c))
        const backward = momentsOf(c)
        backward.merge(momentsOf(b))
        backward.merge(momentsOf(a))
        const all = [...a, ...b, ...c]
        for (const m of [forward, backward]) {
          expect(m.n).toBe(all.length)
          close(m.mean, all.reduce((x, y) => x + y, 0) / all.length, 1e4)
          close(m.m2, twoPass(all), twoPass(all))
          expect(m.min).toBe(Math.min(...all))
          expect(m.max).toBe(Math.max(...all))
        }
      }),
    )
  })
  test('no variance from fewer than two values, and nothing after a reset', () => {
    const m = momentsOf([5])
    expect(m.variance).toBeUndefined()
    m.reset()
    expect([m.n, m.mean, m.m2]).toEqual([0, 0, 0])
    m.merge(new Moments())
    expect(m.n).toBe(0)
  })
})

describe('BivariateMoments', () => {
  const pairs = fc.array(fc.tuple(value, value), { minLength: 2, maxLength: 50 })
  test('mean and variance of a·x + b·y are those of the combined series', () => {
    fc.assert(
      fc.property(pairs, pairs, value, value, (first, second, a, b) => {
        const m = pairsOf(first)
        m.merge(pairsOf(second))
        const combined = [...first, ...second].map(([x, y]) => a * x + b * y)
        close(m.meanOf(a, b), combined.reduce((p, q) => p + q, 0) / combined.length, 2e8)
        const expected = twoPass(combined) / (combined.length - 1)
        const size = (a * a + b * b) * 1e8
        close(m.varianceOf(a, b) ?? Number.NaN, expected, size)
      }),
    )
  })
})

describe('straightLineOf', () => {
  test('finds an exact line far from the origin of time', () => {
    const m = pairsOf(Array.from({ length: 50 }, (_, i) => [1e9 + i, 3 + 0.25 * i] as const))
    const line = straightLineOf(m)
    expect(line?.slope).toBeCloseTo(0.25, 12)
    expect(line?.residualSumOfSquares).toBeLessThan(1e-12)
  })
  test('is undefined for one point, or when every x is the same', () => {
    expect(straightLineOf(pairsOf([[1, 2]]))).toBeUndefined()
    expect(
      straightLineOf(
        pairsOf([
          [1, 2],
          [1, 3],
        ]),
      ),
    ).toBeUndefined()
  })
})
