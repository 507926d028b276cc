import { describe, expect, test } from 'vitest'
import { allanDeviation } from '../../lib/drift/allan-deviation.ts'

/** W. J. Riley, "Handbook of Frequency Stability Analysis", NIST Special Publication 1065 (2008), 12.4: test suites (V2). */
describe('overlapping Allan deviation of the test suites of NIST SP 1065', () => {
  test('nine points: 91.22945 and 85.95287 at averages of one and two', () => {
    const nine = [892, 809, 823, 798, 671, 644, 883, 903, 677]
    expect(allanDeviation(nine, 1)?.deviation).toBeCloseTo(91.22945, 5)
    expect(allanDeviation(nine, 2)?.deviation).toBeCloseTo(85.95287, 5)
  })

  describe('a thousand points, n → 16807 n mod 2147483647 from 1234567890', () => {
    const numbers = [1_234_567_890]
    while (numbers.length < 1000) numbers.push(Number((16_807n * BigInt(numbers.at(-1) ?? 0)) % 2_147_483_647n))
    const points = numbers.map((n) => n / 2_147_483_647)

    test('are those of the suite: its second to fourth numbers, mean 0.4897745 and deviation 0.2884664', () => {
      expect(numbers.slice(1, 4)).toEqual([395_529_916, 1_209_410_747, 633_705_974])
      const mean = points.reduce((sum, x) => sum + x, 0) / 1000
      expect(mean).toBeCloseTo(0.4897745, 7)
      expect(Math.sqrt(points.reduce((sum, x) => sum + (x - mean) ** 2, 0) / 999)).toBeCloseTo(0.2884664, 7)
    })

    test.each([
      [1, 0.2922319],
      [10, 0.09159953],
      [100, 0.03241343],
    ])('at averages of %i: %f', (m, deviation) =>
      expect(allanDeviation(points, m)?.deviation).toBeCloseTo(deviation, 7),
    )
  })
})
