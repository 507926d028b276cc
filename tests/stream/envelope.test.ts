import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { envelopeOf } from '../../gateway/stream/envelope.ts'
import { qualityByte } from '../../shared/quality.ts'

const block = (rows: readonly (readonly [ms: number, value: number, quality?: number])[]) => ({
  timesMs: Float64Array.from(rows, ([ms]) => ms),
  values: [Float32Array.from(rows, ([, value]) => value)],
  qualities: [Uint8Array.from(rows, ([, , quality]) => quality ?? 0)],
})

describe('envelopeOf', () => {
  it('takes the lowest and highest of each bucket, at the time of its first row', () => {
    const result = envelopeOf(
      block([
        [10, 3],
        [50, 1],
        [99, 2],
        [100, 7],
        [310, 5],
      ]),
      100,
    )
    expect([...result.timesMs]).toEqual([10, 100, 310])
    expect([...(result.minima[0] ?? [])]).toEqual([1, 7, 5])
    expect([...(result.maxima[0] ?? [])]).toEqual([3, 7, 5])
  })

  it('leaves out what is no number, and a bucket of nothing but that is NaN, never zero', () => {
    const result = envelopeOf(
      block([
        [0, Number.NaN, 3],
        [1, 4],
        [100, Number.NaN, 3],
      ]),
      100,
    )
    expect([...(result.minima[0] ?? [])]).toEqual([4, Number.NaN])
    expect([...(result.maxima[0] ?? [])]).toEqual([4, Number.NaN])
  })

  it('carries the worst quality of the bucket: bad before uncertain before good', () => {
    const saturated = qualityByte('saturated')
    const wireBreak = qualityByte('wire-break')
    const uncertain = envelopeOf(
      block([
        [0, 1],
        [1, 1, saturated],
        [2, 1],
      ]),
      100,
    )
    expect([...(uncertain.qualities[0] ?? [])]).toEqual([saturated])
    const bad = envelopeOf(
      block([
        [0, 1, wireBreak],
        [1, 1, saturated],
        [2, 1],
      ]),
      100,
    )
    expect([...(bad.qualities[0] ?? [])]).toEqual([wireBreak])
  })

  it('holds every value of every bucket, each bound being one of its values', () => {
    const row = fc.tuple(fc.integer({ min: 0, max: 5000 }), fc.float({ noNaN: true, noDefaultInfinity: true }))
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 200 }), (rows) => {
        const sorted = rows.toSorted((a, b) => a[0] - b[0])
        const result = envelopeOf(block(sorted), 100)
        const buckets = new Map<number, (typeof rows)[number][]>()
        for (const row of sorted) {
          const key = Math.floor(row[0] / 100)
          buckets.set(key, [...(buckets.get(key) ?? []), row])
        }
        expect(result.timesMs.length).toBe(buckets.size)
        ;[...buckets.values()].forEach((bucket, i) => {
          const values = bucket.map(([, value]) => Math.fround(value))
          expect(result.minima[0]?.[i]).toBeCloseTo(Math.min(...values), 10)
          expect(result.maxima[0]?.[i]).toBeCloseTo(Math.max(...values), 10)
        })
      }),
    )
  })
})
