import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { allanDeviation } from '../../lib/drift/allan-deviation.ts'
import { analyseShift } from '../../lib/drift/analyse-shift.ts'
import { estimateDrift } from '../../lib/drift/drift-estimate.ts'
import { mannKendall } from '../../lib/drift/mann-kendall.ts'
import { medianOf, selectKth } from '../../lib/drift/select.ts'
import { theilSen } from '../../lib/drift/theil-sen.ts'
import { shiftAnalysis } from '../../shared/schemas/shift.ts'
import { type ZoneMinute, zoneMinuteState } from '../../shared/schemas/zone-minute.ts'
import { MINUTE_MS, minuteAt, mixed, OPTIONS, START_MS } from './made-minutes.ts'

const value = fc.double({ min: -1e3, max: 1e3, noNaN: true }).map((x) => Math.round(x * 1e3) / 1e3 + 0)
const values = (least: number, most: number) => fc.array(value, { minLength: least, maxLength: most })
const close = (a: number | undefined, b: number, size = 1) =>
  Math.abs((a ?? Number.NaN) - b) <= 1e-9 * Math.max(1, Math.abs(b), size)

describe('the k-th smallest', () => {
  test('is what sorting gives, whatever the order', () =>
    fc.assert(
      fc.property(values(1, 60), (x) => {
        const sorted = [...x].sort((a, b) => a - b)
        for (const k of x.keys()) expect(selectKth(Float64Array.from(x), x.length, k)).toBe(sorted[k])
      }),
    ))
  test('the median of n values and of the same with the largest and smallest doubled are one', () =>
    fc.assert(
      fc.property(values(1, 40), (x) => {
        const more = [...x, Math.max(...x), Math.min(...x)]
        expect(close(medianOf(Float64Array.from(more)), medianOf(Float64Array.from(x)))).toBe(true)
      }),
    ))
})

describe('Theil–Sen', () => {
  const points = values(4, 40).map((y) => ({ x: y.map((_, i) => i), y }))
  test('y shifted and scaled: the slope scales, the interval with it', () =>
    fc.assert(
      fc.property(points, value, fc.double({ min: 0.1, max: 10, noNaN: true }), ({ x, y }, shift, scale) => {
        const [before, after] = [y, y.map((v) => scale * v + shift)].map((series) => theilSen(x, series))
        expect(close(after?.slope, scale * (before?.slope ?? 0), 1e3)).toBe(true)
        // Values that tie before may not tie after rounding: the interval is held where none do.
        if (new Set(y).size < y.length) return
        expect(close(after?.interval(1.96).low, scale * (before?.interval(1.96).low ?? 0), 1e4)).toBe(true)
      }),
    ))
  test('time run backwards turns the slope round', () =>
    fc.assert(
      fc.property(points, ({ x, y }) => {
        expect(close(theilSen(x, [...y].reverse())?.slope, -(theilSen(x, y)?.slope ?? 0), 1e3)).toBe(true)
      }),
    ))
  test('a line is found exactly through any quarter of nonsense', () =>
    fc.assert(
      fc.property(value, fc.integer({ min: 8, max: 40 }), fc.array(value, { maxLength: 60 }), (slope, n, nonsense) => {
        const bad = Math.floor(n / 4)
        const y = Array.from({ length: n }, (_, i) => (i % 4 === 3 && i / 4 < bad ? (nonsense[i] ?? 777) : slope * i))
        expect(
          close(
            theilSen(
              y.map((_, i) => i),
              y,
            )?.slope,
            slope,
            1e3,
          ),
        ).toBe(true)
      }),
    ))
})

test('Mann–Kendall sees order alone: a growing transformation changes nothing', () =>
  fc.assert(
    fc.property(values(4, 30), (y) => {
      expect(mannKendall(y.map((v) => v ** 3 + v))).toEqual(mannKendall(y))
    }),
  ))

test('Allan deviation: a constant added changes nothing, a factor scales it', () =>
  fc.assert(
    fc.property(values(6, 60), value, fc.integer({ min: 1, max: 3 }), (y, shift, m) => {
      const plain = allanDeviation(y, m)?.deviation ?? 0
      const moved = allanDeviation(
        y.map((v) => -2 * v + shift),
        m,
      )
      expect(close(moved?.deviation, 2 * plain, 1e5)).toBe(true)
    }),
  ))

describe('the estimate of a drift', () => {
  const seeds = fc.integer({ min: 1, max: 1e6 })
  const series = (seed: number, keep: (i: number) => boolean = () => true) => {
    const next = mixed([5, 1], [0, 1])(seed)
    const all = Array.from({ length: 120 }, (_, i) => ({ t: i * MINUTE_MS, y: next() }))
    const kept = all.filter((_, i) => keep(i))
    return { tMs: kept.map(({ t }) => t), y: kept.map(({ y }) => y), widthMs: MINUTE_MS }
  }
  test('a level added changes nothing; a drift added adds to the rate alone; a factor scales both', () =>
    fc.assert(
      fc.property(seeds, value, (seed, b) => {
        const plain = series(seed)
        const told = estimateDrift(plain)
        const tilted = estimateDrift({ ...plain, y: plain.y.map((y, i) => 10 * y + 7 + (b * i) / 60) })
        expect(close(tilted?.rate, 10 * (told?.rate ?? 0) + b, 1e4)).toBe(true)
        expect(close(tilted?.u, 10 * (told?.u ?? 0), 1e5)).toBe(true)
      }),
      { numRuns: 30 },
    ))
  test('holes leave it told, with an interval that is finite and not narrower by more than chance', () =>
    fc.assert(
      fc.property(seeds, fc.array(fc.integer({ min: 0, max: 119 }), { maxLength: 60 }), (seed, holes) => {
        const gone = new Set(holes)
        const told = estimateDrift(series(seed, (i) => !gone.has(i)))
        expect(told?.n).toBe(120 - gone.size)
        expect(Number.isFinite(told?.rate)).toBe(true)
        expect(told?.U).toBeGreaterThan(0)
      }),
      { numRuns: 50 },
    ))
})

/** Paths of numbers that are none. */
function notFinite(part: unknown, path = ''): string[] {
  if (typeof part === 'number') return Number.isFinite(part) ? [] : [path]
  if (part === null || typeof part !== 'object') return []
  return Object.entries(part).flatMap(([key, inner]) => notFinite(inner, `${path}.${key}`))
}

describe('a shift of any minutes at all', () => {
  const some = fc.option(fc.oneof(value, fc.constantFrom(0, -0, 1e-300, 1e12)), { nil: null })
  const bySide = fc.record({ drive_side: some, operator_side: some })
  const row = fc.record({
    gap: fc.constantFrom(1, 1, 1, 1, 2, 30, 700),
    change: fc.record({
      state: fc.constantFrom(...zoneMinuteState.options, 'steady' as const, 'steady' as const, 'slack' as const),
      force: bySide,
      noise: bySide,
      total: some,
      imbalance: some,
      expected: some,
      residual: some,
      speed: some,
      reference: some,
      temperature: some,
      revision: fc.constantFrom('a', 'b'),
    }),
  })
  const minutes = fc.array(row, { maxLength: 160 }).map((rows) => {
    let i = 0
    return rows.map(({ gap, change }): ZoneMinute => {
      i += gap
      return minuteAt(i, change)
    })
  })
  test('is answered with a valid body: no number that is none, nothing judged without data', () =>
    fc.assert(
      fc.property(minutes, minutes, (rows, earlier) => {
        const toMs = START_MS + 120_000 * MINUTE_MS
        const stretch = { fromMs: START_MS, toMs }
        const found = analyseShift({ ...stretch, minutes: rows, baseline: { ...stretch, minutes: earlier } }, OPTIONS)
        const body = { ...found, source: 'memory', sourceSentence: '' }
        // JSON would make null of what is no number: it is looked for before.
        expect(notFinite(body)).toEqual([])
        expect(shiftAnalysis.safeParse(body).error?.issues).toBeUndefined()
        for (const { rate } of found.drifts)
          if (rate.value === null) expect(['unknown', 'not-done']).toContain(rate.verdict.state)
      }),
      { numRuns: 150 },
    ))
})
