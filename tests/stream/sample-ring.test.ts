import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { SampleRing } from '../../gateway/stream/sample-ring.ts'

const push = (ring: SampleRing, value: number) => ring.push(1000 + value, [value, -value], [value % 14, 0])

describe('SampleRing', () => {
  it('refuses a capacity or a number of columns that is not a positive integer', () => {
    for (const bad of [0, -1, 1.5, Number.NaN]) {
      expect(() => new SampleRing(bad, 10)).toThrow(RangeError)
      expect(() => new SampleRing(1, bad)).toThrow(RangeError)
    }
  })

  it('numbers batches 1, 2, 3 and gives no number to nothing', () => {
    const ring = new SampleRing(2, 10)
    expect(ring.seal()).toBeNull()
    push(ring, 1)
    expect(ring.seal()).toBe(1)
    push(ring, 2)
    push(ring, 3)
    expect(ring.seal()).toBe(2)
    expect(ring.seal()).toBeNull()
    expect([ring.startRow(2), ring.endRow(2)]).toEqual([1, 3])
  })

  it('gives back what was pushed across the wrap', () => {
    const ring = new SampleRing(2, 4)
    for (let i = 0; i < 6; i++) push(ring, i)
    const { timesMs, values, qualities } = ring.read(2, 6)
    expect([...timesMs]).toEqual([1002, 1003, 1004, 1005])
    expect(values.map((column) => [...column])).toEqual([
      [2, 3, 4, 5],
      [-2, -3, -4, -5],
    ])
    expect(qualities.map((column) => [...column])).toEqual([
      [2, 3, 4, 5],
      [0, 0, 0, 0],
    ])
  })

  it('counts a batch as kept only while all of it is', () => {
    const ring = new SampleRing(1, 4)
    for (const value of [0, 1, 2]) ring.push(value, [value], [0])
    ring.seal()
    for (const value of [3, 4]) ring.push(value, [value], [0])
    expect(ring.oldestSeq).toBe(2)
    ring.seal()
    expect([ring.oldestSeq, ring.lastSeq, ring.startRow(2)]).toEqual([2, 2, 3])
  })

  it('finds the first row that is not older than a time, among those it still keeps', () => {
    const ring = new SampleRing(1, 4, { seq: 3, row: 10 })
    expect(ring.rowFrom(0)).toBe(10)
    for (const time of [100, 200, 300]) ring.push(time, [time], [0])
    expect([0, 100, 101, 300, 301].map((time) => ring.rowFrom(time))).toEqual([10, 10, 11, 12, 13])
    for (const time of [400, 500]) ring.push(time, [time], [0])
    expect([ring.rowFrom(0), ring.rowFrom(450), ring.rows]).toEqual([11, 14, 15])
    expect([...ring.read(ring.rowFrom(350), ring.rows).timesMs]).toEqual([400, 500])
  })

  it('goes on counting where another ring stopped', () => {
    const ring = new SampleRing(1, 4, { seq: 7, row: 21 })
    expect([ring.lastSeq, ring.oldestSeq, ring.pendingRows]).toEqual([7, 8, 0])
    ring.push(0, [1], [0])
    expect([ring.seal(), ring.startRow(8), ring.endRow(8)]).toEqual([8, 21, 22])
  })

  it('whatever is pushed, sealed and re-sized, keeps exactly the whole batches of the newest rows, as a plain list does', () => {
    const step = fc.oneof(
      { weight: 6, arbitrary: fc.record({ kind: fc.constant('push' as const), n: fc.integer({ min: 1, max: 4 }) }) },
      { weight: 4, arbitrary: fc.constant({ kind: 'seal' as const, n: 0 }) },
      {
        weight: 1,
        arbitrary: fc.record({ kind: fc.constant('resize' as const), n: fc.integer({ min: 12, max: 30 }) }),
      },
    )
    fc.assert(
      fc.property(fc.array(step, { maxLength: 80 }), (steps) => {
        let ring = new SampleRing(1, 20)
        const rows: number[] = []
        const batches: { start: number; end: number }[] = []
        let sealed = 0
        let lost = 0
        for (const { kind, n } of steps) {
          if (kind === 'push') {
            for (let i = 0; i < n && rows.length - sealed < 6; i++) {
              ring.push(rows.length, [rows.length], [0])
              rows.push(rows.length)
            }
          } else if (kind === 'seal' && rows.length > sealed) {
            expect(ring.seal()).toBe(batches.push({ start: sealed, end: rows.length }))
            sealed = rows.length
          } else if (kind === 'resize') {
            ring = ring.resized(n)
          }
          lost = Math.max(lost, rows.length - ring.capacity)
          const kept = batches.filter((batch) => batch.start >= lost)
          // A ring made larger does not get back what a smaller one let go.
          const oldest = Math.max(batches.length - kept.length + 1, 1)
          expect(ring.lastSeq).toBe(batches.length)
          expect(ring.pendingRows).toBe(rows.length - sealed)
          expect(ring.oldestSeq).toBe(oldest)
          for (let seq = ring.oldestSeq; seq <= ring.lastSeq; seq++) {
            const batch = batches[seq - 1]
            expect([ring.startRow(seq), ring.endRow(seq)]).toEqual([batch?.start, batch?.end])
          }
          const from = ring.startRow(ring.oldestSeq)
          expect([...(ring.read(from, rows.length).values[0] ?? [])]).toEqual(rows.slice(from))
        }
      }),
      { numRuns: 300 },
    )
  })
})
