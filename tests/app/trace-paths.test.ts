import fc from 'fast-check'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { Decimator } from '../../app/_plots/decimate.ts'
import { pictureOf } from '../../app/_plots/picture.ts'
import { emptyStretches, linePath, uncertainStretches } from '../../app/_plots/trace-paths.ts'
import { qualityOf } from '../../shared/quality.ts'
import { type Row, ringWith, rowsArbitrary } from './plot-rows.ts'

interface Stroke {
  readonly from: readonly [number, number]
  readonly to: readonly [number, number]
}

/** Stands in for the browser's Path2D and keeps what was drawn. */
class RecordedPath {
  readonly strokes: Stroke[] = []
  #pen: readonly [number, number] = [Number.NaN, Number.NaN]
  moveTo(x: number, y: number): void {
    this.#pen = [x, y]
  }
  lineTo(x: number, y: number): void {
    this.strokes.push({ from: this.#pen, to: [x, y] })
    this.#pen = [x, y]
  }
}

beforeEach(() => vi.stubGlobal('Path2D', RecordedPath))
afterEach(() => vi.unstubAllGlobals())

const gaps = { holeMs: 50, envelopeHoleMs: 1500, silenceMs: 500, pausesMs: 2000 }
const asIs = { x: (t: number) => t, y: (v: number) => v }

function pictured(rows: readonly Row[], bucketMs: number) {
  const from = rows[0]?.t ?? 0
  const decimator = new Decimator({ columns: [0, 1], bucketMs, gaps })
  decimator.update(ringWith(rows), from)
  const plain = { factor: 1, offset: 0 }
  return pictureOf(decimator.cells, from, rows.at(-1)?.t ?? 0, bucketMs, [plain, plain])
}

function strokesOf(rows: readonly Row[], dash: { onMs: number; periodMs: number } | null): Stroke[] {
  const picture = pictured(rows, 10)
  const column = picture.columns[0]
  if (column === undefined) return []
  return (linePath(picture.x, column, asIs, dash) as unknown as RecordedPath).strokes
}

const length = (strokes: readonly Stroke[]) => strokes.reduce((sum, s) => sum + s.to[0] - s.from[0], 0)

describe('linePath', () => {
  it('never runs through a bad sample or a hole', () => {
    fc.assert(
      fc.property(rowsArbitrary, fc.boolean(), (rows, isDashed) => {
        const dash = isDashed ? { onMs: 30, periodMs: 50 } : null
        const drawn = rows.filter((r) => qualityOf(r.codes[0]) !== 'bad').map((r) => r.t)
        for (const { from, to } of strokesOf(rows, dash)) {
          // A lone value is a stroke of 3 px around its own time; here a pixel is a millisecond.
          if (to[0] - from[0] === 3 && from[1] === to[1]) continue
          const between = rows.filter((r) => r.t > from[0] && r.t < to[0])
          expect(between.every((r) => drawn.includes(r.t))).toBe(true)
          expect(to[0] - from[0]).toBeLessThanOrEqual(gaps.holeMs + 20)
        }
      }),
    )
  })

  it('dashes lie on whole periods of time, so that they do not crawl as the picture scrolls', () => {
    const rows = Array.from(
      { length: 200 },
      (_, i): Row => ({ t: 1_000_003 + i * 10, values: [i, i], codes: ['good', 'good'] }),
    )
    const dash = { onMs: 30, periodMs: 50 }
    const strokes = strokesOf(rows, dash)
    for (const { from, to } of strokes) {
      expect(from[0] % dash.periodMs).toBeLessThanOrEqual(dash.onMs)
      expect(Math.floor(from[0] / dash.periodMs)).toBe(Math.floor((to[0] - 1e-6) / dash.periodMs))
      // Still on the signal: one unit of value every 10 ms.
      expect(from[1]).toBeCloseTo((from[0] - 1_000_003) / 10, 6)
      expect(to[1]).toBeCloseTo((to[0] - 1_000_003) / 10, 6)
    }
    expect(length(strokes) / length(strokesOf(rows, null))).toBeCloseTo(dash.onMs / dash.periodMs, 1)
    const later = strokesOf(rows.slice(57), dash)
    expect(strokes.slice(-40)).toEqual(later.slice(-40))
  })
})

describe('stretches of the picture', () => {
  const row = (t: number, code: Row['codes'][0]): Row => ({ t, values: [1, 1], codes: [code, 'good'] })

  it('span what a side cannot show, from its last value to its next one at most', () => {
    const rows = [row(1000, 'good'), row(1010, 'wire-break'), row(1020, 'wire-break'), row(1030, 'good')]
    const { cells } = pictured(rows, 10)
    expect(emptyStretches(cells, 0, 10)).toEqual([{ fromMs: 1010, toMs: 1030 }])
    expect(emptyStretches(cells, 1, 10)).toEqual([])
  })

  it('span a hole in time for every side', () => {
    const { cells } = pictured([row(1000, 'good'), row(2000, 'good')], 10)
    for (const side of [0, 1]) expect(emptyStretches(cells, side, 10)).toEqual([{ fromMs: 1000, toMs: 2000 }])
  })

  it('mark uncertain samples of their own side only', () => {
    const { cells } = pictured([row(1000, 'good'), row(1010, 'saturated'), row(1020, 'good')], 10)
    expect(uncertainStretches(cells, 0, 10)).toEqual([{ fromMs: 1010, toMs: 1020 }])
    expect(uncertainStretches(cells, 1, 10)).toEqual([])
  })
})
