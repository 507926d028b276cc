import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Moments } from '../../lib/statistics/moments.ts'
import { TimeBuckets } from '../../lib/statistics/time-buckets.ts'

const make = (firstWidthMs: number, lastWidthMs: number, capacity: number) =>
  new TimeBuckets({ firstWidthMs, lastWidthMs, capacity, make: () => new Moments() })

const ascending = fc.array(fc.integer({ min: 1, max: 400 }), { minLength: 1, maxLength: 400 }).map((steps) => {
  let t = 0
  return steps.map((step) => {
    t += step
    return t
  })
})

describe('TimeBuckets', () => {
  test('hold every sample of the window once, in order of time, whatever doubling went on', () => {
    fc.assert(
      fc.property(ascending, fc.integer({ min: 0, max: 6 }), (times, doublings) => {
        const buckets = make(50, 50 * 2 ** doublings, 8)
        for (const t of times) buckets.touch(t).add(t)
        const kept = buckets.since(Number.NEGATIVE_INFINITY)
        expect(kept.length).toBeLessThanOrEqual(8)
        expect(kept.length).toBeGreaterThan(0)
        const n = kept.reduce((sum, b) => sum + b.n, 0)
        const newest = times.slice(times.length - n)
        expect(kept[0]?.firstMs).toBe(newest[0])
        expect(kept.at(-1)?.lastMs).toBe(times.at(-1))
        let from = 0
        for (const bucket of kept) {
          const own = newest.slice(from, from + bucket.n)
          from += bucket.n
          expect(bucket.stat.n).toBe(bucket.n)
          expect([bucket.firstMs, bucket.lastMs]).toEqual([own[0], own.at(-1)])
          expect(bucket.meanMs).toBeCloseTo(own.reduce((a, b) => a + b, 0) / own.length, 6)
          expect(bucket.stat.mean).toBeCloseTo(bucket.meanMs, 6)
          expect(Math.floor(bucket.firstMs / buckets.widthMs)).toBe(Math.floor(bucket.lastMs / buckets.widthMs))
        }
      }),
    )
  })
  test('keep the whole growing window while it is shorter than the longest', () => {
    const buckets = make(10, 160, 8)
    for (let t = 0; t < 1280; t += 5) buckets.touch(t).add(1)
    expect(buckets.since(Number.NEGATIVE_INFINITY).reduce((sum, b) => sum + b.n, 0)).toBe(256)
    expect(buckets.widthMs).toBe(160)
    for (let t = 1280; t < 1440; t += 5) buckets.touch(t).add(1)
    expect(buckets.since(Number.NEGATIVE_INFINITY)[0]?.firstMs).toBe(160)
  })
  test('give only what is later than asked, and nothing after clear', () => {
    const buckets = make(10, 10, 8)
    for (let t = 0; t < 80; t += 5) buckets.touch(t).add(1)
    expect(buckets.since(39).map((b) => b.firstMs)).toEqual([40, 50, 60, 70])
    buckets.clear()
    expect(buckets.since(Number.NEGATIVE_INFINITY)).toEqual([])
  })
  test('refuse widths and capacities that hold nothing', () => {
    expect(() => make(0, 10, 8)).toThrow(RangeError)
    expect(() => make(10, 5, 8)).toThrow(RangeError)
    expect(() => make(10, 10, 1)).toThrow(RangeError)
  })
})
