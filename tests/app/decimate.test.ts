import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Decimator } from '../../app/_plots/decimate.ts'
import { FrozenRows } from '../../app/_plots/frozen-rows.ts'
import { extentOf, type Picture, pictureOf } from '../../app/_plots/picture.ts'
import { ZoneRing } from '../../app/_stream/ring.ts'
import { qualityOf } from '../../shared/quality.ts'
import { batchOf, type Row, ringWith, rowsArbitrary } from './plot-rows.ts'

const gaps = { holeMs: 50, envelopeHoleMs: 1500, silenceMs: 100, pausesMs: 300 }
const plain = [
  { factor: 1, offset: 0 },
  { factor: 1, offset: 0 },
]
const bucketWidth = fc.constantFrom(1, 7, 10, 33.3, 100, 512.7)

function decimated(source: ZoneRing, bucketMs: number, fromMs: number): Decimator {
  const decimator = new Decimator({ columns: [0, 1], bucketMs, gaps })
  decimator.update(source, fromMs)
  return decimator
}

function wholePicture(rows: readonly Row[], bucketMs: number): Picture {
  const from = rows[0]?.t ?? 0
  const to = rows.at(-1)?.t ?? 0
  return pictureOf(decimated(ringWith(rows), bucketMs, from).cells, from, to, bucketMs, plain)
}

const isDrawn = (row: Row, c: 0 | 1) => qualityOf(row.codes[c]) !== 'bad'
const drawnValues = (rows: readonly Row[], c: 0 | 1) => rows.filter((r) => isDrawn(r, c)).map((r) => r.values[c])
const numbers = (list: readonly (number | null)[]) => list.filter((v) => v !== null)

describe('Decimator and pictureOf', () => {
  it('keeps the lowest and highest of all drawable samples, and of every bucket', () => {
    fc.assert(
      fc.property(rowsArbitrary, bucketWidth, (rows, bucketMs) => {
        const picture = wholePicture(rows, bucketMs)
        for (const c of [0, 1] as const) {
          const expected = drawnValues(rows, c)
          const lows = numbers(picture.columns[c]?.lo ?? [])
          const highs = numbers(picture.columns[c]?.hi ?? [])
          expect(lows.length).toBe(highs.length)
          expect(Math.min(...lows)).toBe(Math.min(...expected))
          expect(Math.max(...highs)).toBe(Math.max(...expected))
          for (const [i, cell] of picture.cells.entries()) {
            const inCell = drawnValues(
              rows.filter((r) => Math.floor(r.t / bucketMs) === cell?.bucket),
              c,
            )
            expect(picture.columns[c]?.lo[i] ?? null).toBe(inCell.length === 0 ? null : Math.min(...inCell))
            expect(picture.columns[c]?.hi[i] ?? null).toBe(inCell.length === 0 ? null : Math.max(...inCell))
          }
        }
      }),
    )
  })

  it('draws no line across a bad sample or a hole in time', () => {
    fc.assert(
      fc.property(rowsArbitrary, bucketWidth, (rows, bucketMs) => {
        const picture = wholePicture(rows, bucketMs)
        for (const c of [0, 1] as const) {
          const mean = picture.columns[c]?.mean ?? []
          for (let i = 1; i < mean.length; i++) {
            if (mean[i - 1] === null || mean[i] === null) continue
            const from = picture.cells[i - 1]?.firstMs ?? Number.NaN
            const to = picture.cells[i]?.lastMs ?? Number.NaN
            const joined = rows.filter((r) => r.t >= from && r.t <= to)
            expect(joined.every((r) => isDrawn(r, c))).toBe(true)
            for (let j = 1; j < joined.length; j++) {
              expect((joined[j]?.t ?? 0) - (joined[j - 1]?.t ?? 0)).toBeLessThanOrEqual(gaps.holeMs)
            }
          }
        }
      }),
    )
  })

  it('joins neighbours that have no gap between them, and dates no value outside its samples', () => {
    fc.assert(
      fc.property(rowsArbitrary, bucketWidth, (rows, bucketMs) => {
        const allGood = rows.map((r, i): Row => ({ ...r, t: 1_700_000_000_000 + i * 20, codes: ['good', 'good'] }))
        const picture = wholePicture(allGood, bucketMs)
        expect(picture.cells).not.toContain(null)
        for (const column of picture.columns) expect(column.mean).not.toContain(null)
        for (const [i, cell] of picture.cells.entries()) {
          expect(picture.x[i]).toBeGreaterThanOrEqual(cell?.firstMs ?? Number.NaN)
          expect(picture.x[i]).toBeLessThanOrEqual(cell?.lastMs ?? Number.NaN)
        }
      }),
    )
  })

  it('gives times that ascend strictly, and null (never NaN or undefined) where there is nothing', () => {
    fc.assert(
      fc.property(rowsArbitrary, bucketWidth, (rows, bucketMs) => {
        const picture = wholePicture(rows, bucketMs)
        for (let i = 1; i < picture.x.length; i++) expect(picture.x[i]).toBeGreaterThan(picture.x[i - 1] ?? 0)
        for (const { mean, lo, hi } of picture.columns) {
          for (const list of [mean, lo, hi]) {
            expect(list.length).toBe(picture.x.length)
            expect(list.every((v) => v === null || Number.isFinite(v))).toBe(true)
          }
        }
      }),
    )
  })

  it('is the same picture when rows come in pieces, scroll out of a full ring, and the view moves on', () => {
    fc.assert(
      fc.property(
        rowsArbitrary,
        bucketWidth,
        fc.integer({ min: 1, max: 30 }),
        fc.integer({ min: 5, max: 80 }),
        (rows, bucketMs, piece, capacity) => {
          const ring = new ZoneRing(['drive_side', 'operator_side'], capacity)
          const incremental = new Decimator({ columns: [0, 1], bucketMs, gaps })
          for (let at = 0; at < rows.length; at += piece) {
            ring.push(batchOf(rows.slice(at, at + piece)))
            const to = ring.timeAt(ring.length - 1)
            const from = Math.max(ring.timeAt(0) + bucketMs, to - 400)
            incremental.update(ring, from)
            const scratch = decimated(ring, bucketMs, from)
            // A bucket that is partly out of the ring, left of the view, may differ: nobody sees it.
            const whole = (cells: Decimator['cells']) =>
              cells.filter((cell) => cell.bucket * bucketMs >= from && cell.firstMs > (scratch.cells[0]?.lastMs ?? 0))
            expect(whole(incremental.cells)).toEqual(whole(scratch.cells))
          }
        },
      ),
    )
  })

  it('notices rows filled in later, older than what it has read or in the middle of it', () => {
    fc.assert(
      fc.property(rowsArbitrary, fc.integer({ min: 0, max: 200 }), fc.integer({ min: 1, max: 100 }), (rows, at, n) => {
        const late = rows.slice(at, at + n)
        const early = [...rows.slice(0, at), ...rows.slice(at + n)]
        fc.pre(early.length > 0)
        const from = rows[0]?.t ?? 0
        const ring = ringWith(early)
        const incremental = decimated(ring, 33.3, from)
        ring.push(batchOf(late))
        incremental.update(ring, from)
        expect(incremental.cells).toEqual(decimated(ring, 33.3, from).cells)
      }),
    )
  })

  it('starts anew when the ring was emptied', () => {
    const rows: Row[] = [1, 2, 3].map((i) => ({ t: 1000 + i * 10, values: [i, i], codes: ['good', 'good'] }))
    const ring = ringWith(rows)
    const decimator = decimated(ring, 10, 1000)
    ring.clear()
    decimator.update(ring, 1000)
    expect(decimator.cells).toEqual([])
  })

  it('knows lowest and highest of an envelope row, but no mean', () => {
    const ring = new ZoneRing(['drive_side'], 100)
    ring.push({
      timesMs: Float64Array.from([1000, 1100]),
      values: [Float32Array.from([5, 6])],
      maxima: [Float32Array.from([8, 9])],
      qualities: [new Uint8Array(2)],
    })
    const decimator = new Decimator({ columns: [0], bucketMs: 500, gaps })
    decimator.update(ring, 1000)
    const [column] = pictureOf(decimator.cells, 1000, 1100, 500, plain.slice(0, 1)).columns
    expect(column).toEqual({ mean: [null], lo: [5], hi: [9] })
  })

  it('converts units with factor and offset (20 °C = 68 °F, 100 °C = 212 °F: SP 811 B.8)', () => {
    const rows: Row[] = [
      { t: 1000, values: [20, 20], codes: ['good', 'good'] },
      { t: 1010, values: [100, 100], codes: ['good', 'good'] },
    ]
    const cells = decimated(ringWith(rows), 1, 1000).cells
    const picture = pictureOf(cells, 1000, 1010, 1, [{ factor: 1.8, offset: 32 }])
    expect(picture.columns[0]?.mean).toEqual([68, 212])
    expect(extentOf(picture)).toEqual({ lo: 68, hi: 212 })
  })

  it('has no extent when nothing is drawn', () => {
    const bad: Row[] = [{ t: 1000, values: [Number.NaN, Number.NaN], codes: ['wire-break', 'no-answer'] }]
    expect(extentOf(wholePicture(bad, 10))).toBeNull()
  })

  it('refuses a bucket without width', () => {
    expect(() => new Decimator({ columns: [0], bucketMs: 0, gaps })).toThrow(RangeError)
  })
})

describe('FrozenRows', () => {
  it('stays as the ring was, and gives the same picture as it gave', () => {
    fc.assert(
      fc.property(rowsArbitrary, (rows) => {
        const ring = ringWith(rows, 300)
        const frozen = new FrozenRows(ring, 2)
        const from = rows[0]?.t ?? 0
        const before = decimated(ring, 33.3, from).cells
        const later = rows.map((r) => ({ ...r, t: r.t + 1e6 }))
        ring.push(batchOf(later))
        const again = new Decimator({ columns: [0, 1], bucketMs: 33.3, gaps })
        again.update(frozen, from)
        expect(again.cells).toEqual(before)
        expect(frozen.indexAtOrAfter(from)).toBe(0)
        expect(frozen.indexAtOrAfter(Number.POSITIVE_INFINITY)).toBe(rows.length)
      }),
    )
  })
})
