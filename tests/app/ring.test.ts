import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type RingBatch, ZoneRing } from '../../app/_stream/ring.ts'

/** Rows whose one value is their own time, so that a value in the wrong row shows. */
function samples(times: readonly number[], quality = 0): RingBatch {
  return {
    timesMs: Float64Array.from(times),
    values: [Float32Array.from(times)],
    qualities: [new Uint8Array(times.length).fill(quality)],
  }
}

function envelope(times: readonly number[], spread: number): RingBatch {
  return {
    ...samples(times),
    values: [Float32Array.from(times, (t) => t - spread)],
    maxima: [Float32Array.from(times, (t) => t + spread)],
  }
}

const ascending = fc
  .uniqueArray(fc.integer({ min: 0, max: 100_000 }), { maxLength: 200 })
  .map((times) => times.sort((a, b) => a - b))

describe('ZoneRing', () => {
  it('keeps the newest rows up to its capacity, however they are cut into batches', () => {
    fc.assert(
      fc.property(
        ascending,
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 90 }),
        (times, capacity, cut) => {
          const ring = new ZoneRing(['a'], capacity)
          for (let at = 0; at < times.length; at += cut) ring.push(samples(times.slice(at, at + cut)))
          const kept = times.slice(-capacity)
          expect([...ring.times()]).toEqual(kept)
          expect([...ring.values(0)]).toEqual(kept)
          expect(ring.length).toBe(kept.length)
        },
      ),
    )
  })

  it('ends with the same rows in whatever order the batches come, also when some come twice', () => {
    const shuffledBatches = fc.tuple(ascending, fc.integer({ min: 1, max: 20 })).chain(([times, cut]) => {
      const batches: number[][] = []
      for (let at = 0; at < times.length; at += cut) batches.push(times.slice(at, at + cut))
      const twice = [...batches, ...batches.slice(0, 3)]
      return fc.tuple(
        fc.constant(times),
        fc.shuffledSubarray(twice, { minLength: twice.length, maxLength: twice.length }),
      )
    })
    fc.assert(
      fc.property(shuffledBatches, ([times, batches]) => {
        const ring = new ZoneRing(['a'], 1000)
        for (const batch of batches) ring.push(samples(batch))
        expect([...ring.times()]).toEqual(times)
        expect([...ring.values(0)]).toEqual(times)
      }),
    )
  })

  it('finds by time what a linear search finds', () => {
    fc.assert(
      fc.property(ascending, fc.integer({ min: -10, max: 100_010 }), (times, wanted) => {
        const ring = new ZoneRing(['a'], 50)
        for (const t of times) ring.push(samples([t]))
        const kept = times.slice(-50)
        const expected = kept.findIndex((t) => t >= wanted)
        expect(ring.indexAtOrAfter(wanted)).toBe(expected === -1 ? kept.length : expected)
      }),
    )
  })

  it('keeps lowest and highest of an envelope row and marks it', () => {
    const ring = new ZoneRing(['a'], 10)
    ring.push(samples([1]))
    ring.push(envelope([5], 2))
    expect([...ring.values(0)]).toEqual([1, 3])
    expect([...ring.maxima(0)]).toEqual([1, 7])
    expect([...ring.envelopes()]).toEqual([0, 1])
  })

  it('puts samples that arrive later in the place of the envelope that stood in for them', () => {
    const ring = new ZoneRing(['a'], 100)
    ring.push(samples([0, 10]))
    ring.push(envelope([25, 35], 5))
    ring.push(samples([50, 60]))
    ring.push(samples([20, 30, 40]))
    expect([...ring.times()]).toEqual([0, 10, 20, 30, 40, 50, 60])
    expect([...ring.envelopes()]).toEqual([0, 0, 0, 0, 0, 0, 0])
  })

  it('keeps NaN and quality of a bad sample: a gap stays a gap', () => {
    const ring = new ZoneRing(['a'], 4)
    ring.push({ timesMs: Float64Array.of(1), values: [Float32Array.of(Number.NaN)], qualities: [Uint8Array.of(3)] })
    expect(ring.values(0)[0]).toBeNaN()
    expect(ring.qualities(0)[0]).toBe(3)
  })

  it('refuses a batch of other columns or of times that do not ascend, and keeps what it has', () => {
    const ring = new ZoneRing(['a', 'b'], 4)
    expect(ring.push(samples([1]))).toBe(false)
    const single = new ZoneRing(['a'], 4)
    single.push(samples([1]))
    expect(single.push(samples([5, 4]))).toBe(false)
    expect([...single.times()]).toEqual([1])
  })

  it('changes its version with every push and clear', () => {
    const ring = new ZoneRing(['a'], 4)
    const before = ring.version
    ring.push(samples([1]))
    const after = ring.version
    ring.clear()
    expect(after).toBeGreaterThan(before)
    expect(ring.version).toBeGreaterThan(after)
    expect(ring.length).toBe(0)
    expect(ring.timeAt(0)).toBeNaN()
  })

  it('refuses a capacity below one', () => {
    expect(() => new ZoneRing(['a'], 0)).toThrow(RangeError)
  })
})
