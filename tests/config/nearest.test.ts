import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { editDistance, nearest } from '../../gateway/config/nearest.ts'

describe('the number of slips between two words', () => {
  // Levenshtein's distance of kitten and sitting is 3, of Saturday and Sunday 3 (worked in
  // Navarro, ACM Computing Surveys 33 (2001) 31 and many textbooks); with neighbours swapped, no
  // part edited twice, CA and ABC are 3 apart (Boytsov, ACM JEA 16 (2011) 1.1): from memory.
  test.each([
    ['kitten', 'sitting', 3],
    ['Saturday', 'Sunday', 3],
    ['CA', 'ABC', 3],
    ['rate', 'raet', 1],
    ['', 'abc', 3],
    ['abc', 'abc', 0],
  ])('%s to %s is %i', (a, b, slips) => {
    expect(editDistance(a, b)).toBe(slips)
  })

  test('is the same both ways, 0 only for the same word, and bounded by the lengths', () => {
    const word = fc.string({ unit: fc.constantFrom('a', 'b', '_', 'é'), maxLength: 12 })
    fc.assert(
      fc.property(word, word, (a, b) => {
        const slips = editDistance(a, b)
        expect(slips).toBe(editDistance(b, a))
        expect(slips === 0).toBe(a === b)
        expect(slips).toBeGreaterThanOrEqual(Math.abs(a.length - b.length))
        expect(slips).toBeLessThanOrEqual(Math.max(a.length, b.length))
      }),
    )
  })
})

describe('the word that was meant', () => {
  const KEYS = ['id', 'rate_hz', 'timeout_ms', 'transport', 'cell_distance_m', 'drift_percent_per_hour']
  test.each([
    ['rate', 'rate_hz'],
    ['rate-hz', 'rate_hz'],
    ['Rate_Hz', 'rate_hz'],
    ['timout_ms', 'timeout_ms'],
    ['tranpsort', 'transport'],
    ['distance', 'cell_distance_m'],
    ['drift', 'drift_percent_per_hour'],
    ['xyzzy', null],
    ['', null],
  ])('%s is %s', (word, meant) => {
    expect(nearest(word, KEYS)).toBe(meant)
  })

  test('is none when two are equally near', () => {
    expect(nearest('cdba', ['ABCD', 'CDAB', 'BADC', 'DCBA'])).toBeNull()
  })

  test('is none for very long text, which is no slip', () => {
    expect(nearest('a'.repeat(10_000), KEYS)).toBeNull()
  })
})
