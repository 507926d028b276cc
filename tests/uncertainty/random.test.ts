import { describe, expect, test } from 'vitest'
import { Random } from '../../lib/uncertainty/random.ts'

describe('generator', () => {
  // Vector of the reference implementation (xoshiro128plusplus.c) from the state 1, 2, 3, 4, as printed in the tests of
  // the Rust crate rand_xoshiro (read there).
  test('xoshiro128++ gives the reference implementation’s first ten numbers', () => {
    const random = new Random([1, 2, 3, 4])
    expect(Array.from({ length: 10 }, () => random.uint32())).toEqual([
      641, 1573767, 3222811527, 3517856514, 836907274, 4247214768, 3867114732, 1355841295, 495546011, 621204420,
    ])
  })
  // PHP's own test of a user-written xoshiro128++ (ext/random/tests/02_engine/user_xoshiro128plusplus.phpt, read there):
  // number 102401 from the same state is fa3c872c in little-endian bytes.
  test('and its 102401st', () => {
    const random = new Random([1, 2, 3, 4])
    for (let i = 0; i < 102_400; i += 1) random.uint32()
    expect(random.uint32()).toBe(0x2c873cfa)
  })
  test('the same seed gives the same draws, two seeds unrelated ones', () => {
    const draws = (seed: number) => {
      const random = Random.seeded(seed)
      return Array.from({ length: 5 }, () => random.uniform())
    }
    expect(draws(42)).toEqual(draws(42))
    const [a, b] = [Random.seeded(1), Random.seeded(2)]
    let product = 0
    for (let i = 0; i < 100_000; i += 1) product += a.normal() * b.normal()
    expect(Math.abs(product / 100_000)).toBeLessThan(4 / Math.sqrt(100_000))
  })
  test('refuses a state of zeros, which would stay zero', () => {
    expect(() => new Random([0, 0, 0, 0])).toThrow(RangeError)
  })
})

describe('deviates, by moments and tails of 400 000 draws', () => {
  const N = 400_000
  const share = (draw: () => number, under: number) => {
    let n = 0
    for (let i = 0; i < N; i += 1) if (draw() < under) n += 1
    return n / N
  }
  // Quantiles computed with scipy 1.10.1 (stats.norm.ppf, stats.t.ppf).
  test.each<[string, (random: Random) => number, number, number]>([
    ['normal at −1.959964', (r) => r.normal(), -1.959963984540054, 0.025],
    ['normal at 1', (r) => r.normal(), 1, 0.8413447460685429],
    ['Student’s t of 3 at 3.182446', (r) => r.studentT(3), 3.1824463052837078, 0.975],
    ['Student’s t of 1 at −1', (r) => r.studentT(1), -1, 0.25],
    ['Student’s t of 16.7 at 1.0', (r) => r.studentT(16.7), 1, 0.8342],
    ['uniform at 0.3', (r) => r.uniform(), 0.3, 0.3],
  ])('%s', (_, draw, at, expected) => {
    const random = Random.seeded(99)
    const error = Math.sqrt((expected * (1 - expected)) / N)
    expect(Math.abs(share(() => draw(random), at) - expected)).toBeLessThan(4 * error + 1e-4)
  })
})
