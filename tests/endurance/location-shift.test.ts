import { spawnSync } from 'node:child_process'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { missing, titled } from '../integration/support/installed.ts'
import { largestRejected, locationShift } from './location-shift.ts'

const noScipy = missing('scipy')

describe('how much later looks lie over earlier ones', () => {
  // C: scipy.stats.mannwhitneyu(method='exact') gives the probability of each U.
  it.skipIf(noScipy !== null)(
    titled('rejects what the exact test of Mann and Whitney rejects', noScipy),
    () => {
      const sizes = [3, 4, 5, 7, 8, 10]
      const script = `
import json, sys
from scipy.stats import mannwhitneyu
def p(m, n, u):
    # So many of the m values lie over so many of the n that u pairs stand that way round.
    over = [n] * (u // n) + [u % n] * (u < m * n) + [0] * m
    lot = [c - 0.5 + i * 1e-6 for i, c in enumerate(over[:m])]
    return mannwhitneyu(lot, list(range(n)), method='exact').pvalue
def largest(m, n):
    rejected = [u for u in range(m * n // 2 + 1) if p(m, n, u) <= 0.05]
    return max(rejected, default=None)
print(json.dumps([[largest(m, n) for n in json.loads(sys.argv[1])] for m in json.loads(sys.argv[1])]))`
      const { stdout, stderr } = spawnSync('/usr/bin/python3', ['-c', script, JSON.stringify(sizes)], {
        encoding: 'utf8',
      })
      expect(stderr).toBe('')
      expect(sizes.map((m) => sizes.map((n) => largestRejected(m, n) ?? null))).toEqual(JSON.parse(stdout))
    },
    60_000,
  )

  it('finds a shift that is there, its interval around it, and moves with the values', () => {
    const lot = fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 4, maxLength: 12 })
    fc.assert(
      fc.property(lot, lot, fc.integer({ min: -1000, max: 1000 }), (before, after, more) => {
        const found = locationShift(before, after)
        const moved = locationShift(
          before,
          after.map((value) => value + more),
        )
        if (found === undefined || moved === undefined) throw new Error('lots of four have an interval')
        expect(found.low).toBeLessThanOrEqual(found.shift)
        expect(found.high).toBeGreaterThanOrEqual(found.shift)
        expect(moved.shift).toBeCloseTo(found.shift + more, 6)
        expect(moved.low).toBeCloseTo(found.low + more, 6)
      }),
    )
  })

  it('says nothing of three looks against three', () => {
    expect(locationShift([1, 2, 3], [4, 5, 6])).toBeUndefined()
  })
})
