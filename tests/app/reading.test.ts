import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { flagsBetween } from '../../app/_plots/flags.ts'
import { gapRule } from '../../app/_plots/gap-rule.ts'
import { perSecond, summaryOf } from '../../app/_plots/per-second.ts'
import { difference, readingAt } from '../../app/_plots/reading.ts'
import { reasonInWords } from '../../app/_plots/reason.ts'
import { ZoneRing } from '../../app/_stream/ring.ts'
import { QUALITY_CODES, type QualityCode, qualityOf } from '../../shared/quality.ts'
import { type Row, ringWith, rowsArbitrary } from './plot-rows.ts'

const rule = { holeMs: 50, envelopeHoleMs: 1500, silenceMs: 100 }
const row = (t: number, value: number, code: QualityCode = 'good'): Row => ({
  t,
  values: [value, value],
  codes: [code, 'good'],
})

describe('gapRule', () => {
  it('calls three missed periods a gap, but nothing under a tenth of a second', () => {
    expect(gapRule(100)).toMatchObject({ holeMs: 100, silenceMs: 500 })
    expect(gapRule(1)).toMatchObject({ holeMs: 3000, silenceMs: 3000 })
  })
})

describe('readingAt', () => {
  const ring = ringWith([
    row(1000, 10),
    row(1010, 20),
    row(1020, 30),
    row(1500, 40),
    row(1510, 0, 'wire-break'),
    row(1520, 0, 'wire-break'),
    row(1530, 5, 'saturated'),
  ])

  it('is the mean, lowest and highest of the samples under the cursor', () => {
    expect(readingAt(ring, 0, 1010, 15, rule)).toEqual({
      kind: 'value',
      mean: 20,
      lo: 10,
      hi: 30,
      samples: 3,
      bad: 0,
      uncertain: null,
    })
  })

  it('is the nearest sample when the cursor stands between two', () => {
    expect(readingAt(ring, 0, 1013, 1, rule)).toMatchObject({ mean: 20, samples: 1 })
    expect(readingAt(ring, 0, 1017, 1, rule)).toMatchObject({ mean: 30, samples: 1 })
  })

  it('is no number in a hole, and says from when to when', () => {
    expect(readingAt(ring, 0, 1200, 5, rule)).toEqual({ kind: 'gap', reason: 'no-samples', fromMs: 1020, toMs: 1500 })
  })

  it('is no number where the sample is bad, and names the reason for its whole run', () => {
    expect(readingAt(ring, 0, 1511, 2, rule)).toEqual({ kind: 'gap', reason: 'wire-break', fromMs: 1510, toMs: 1530 })
  })

  it('counts bad samples under the cursor beside the good ones and marks uncertain ones', () => {
    expect(readingAt(ring, 0, 1515, 20, rule)).toMatchObject({ mean: 22.5, samples: 2, bad: 2, uncertain: 'saturated' })
  })

  it('is an open gap when nothing came for longer than the rule allows, and outside before the first sample', () => {
    expect(readingAt(ring, 0, 1700, 5, rule)).toEqual({ kind: 'gap', reason: 'no-samples', fromMs: 1530, toMs: null })
    expect(readingAt(ring, 0, 1620, 5, rule)).toMatchObject({ kind: 'value', mean: 5 })
    expect(readingAt(ring, 0, 900, 5, rule)).toEqual({ kind: 'outside' })
    expect(readingAt(ringWith([]), 0, 900, 5, rule)).toEqual({ kind: 'outside' })
  })

  it('knows no mean where only lowest and highest were sent', () => {
    const thinned = new ZoneRing(['drive_side'], 10)
    thinned.push({
      timesMs: Float64Array.from([1000]),
      values: [Float32Array.from([1])],
      maxima: [Float32Array.from([3])],
      qualities: [new Uint8Array(1)],
    })
    expect(readingAt(thinned, 0, 1000, 5, rule)).toMatchObject({ kind: 'value', mean: null, lo: 1, hi: 3 })
  })

  it('gives a difference only of two known means', () => {
    const a = readingAt(ring, 0, 1000, 1, rule)
    const b = readingAt(ring, 0, 1500, 1, rule)
    expect(difference(a, b)).toBe(30)
    expect(difference(a, readingAt(ring, 0, 1511, 2, rule))).toBeNull()
  })
})

describe('flagsBetween', () => {
  it('tells every moment without a number, for every column, and no other', () => {
    fc.assert(
      fc.property(rowsArbitrary, (rows) => {
        const from = rows[0]?.t ?? 0
        const to = (rows.at(-1)?.t ?? 0) + 1
        const flags = flagsBetween(ringWith(rows), [0, 1], from, to, rule)
        for (const c of [0, 1] as const) {
          for (const r of rows) {
            const hit = flags.filter((f) => f.column === c && f.fromMs <= r.t && r.t < f.toMs)
            const quality = qualityOf(r.codes[c])
            expect(hit.map((f) => [f.kind, f.reason])).toEqual(
              quality === 'good' ? [] : [[quality === 'bad' ? 'gap' : 'uncertain', r.codes[c]]],
            )
          }
        }
        const holes = rows.slice(1).filter((r, i) => r.t - (rows[i]?.t ?? 0) > rule.holeMs)
        expect(flags.filter((f) => f.column === null).map((f) => f.toMs)).toEqual(holes.map((r) => r.t))
      }),
    )
  })

  it('flags the time since the newest sample while nothing comes', () => {
    expect(flagsBetween(ringWith([row(1000, 1)]), [0], 900, 3000, rule)).toEqual([
      { column: null, kind: 'gap', reason: 'no-samples', fromMs: 1000, toMs: 3000 },
    ])
  })
})

describe('perSecond', () => {
  it('adds up to the whole: every sample is in exactly one second, and every second has its row', () => {
    fc.assert(
      fc.property(rowsArbitrary, (rows) => {
        const ring = ringWith(rows)
        const from = rows[0]?.t ?? 0
        const to = (rows.at(-1)?.t ?? 0) + 1
        const table = perSecond(ring, [0, 1], from, to)
        expect(table.length).toBe(Math.ceil(to / 1000) - Math.floor(from / 1000))
        for (const c of [0, 1]) {
          const whole = summaryOf(ring, c, from, to)
          const total = (pick: 'samples' | 'bad' | 'uncertain') =>
            table.reduce((sum, r) => sum + (r.columns[c]?.[pick] ?? 0), 0)
          expect(total('samples')).toBe(whole.samples)
          expect(total('bad')).toBe(whole.bad)
          expect(total('uncertain')).toBe(whole.uncertain)
          expect(whole.samples + whole.bad).toBe(rows.length)
          const means = table.map((r) => (r.columns[c]?.mean ?? 0) * (r.columns[c]?.samples ?? 0))
          if (whole.mean !== null) expect(means.reduce((a, b) => a + b, 0) / whole.samples).toBeCloseTo(whole.mean, 6)
        }
      }),
    )
  })

  it('has no number for a second without a usable sample', () => {
    const table = perSecond(ringWith([row(1000, 7), row(3000, 0, 'no-answer')]), [0], 1000, 3500)
    expect(table.map((r) => r.columns[0]?.mean)).toEqual([7, null, null])
    expect(table[2]?.columns[0]).toMatchObject({ samples: 0, bad: 1, lo: null, hi: null })
  })
})

describe('reasonInWords', () => {
  it('has its own words for every quality code', () => {
    const words = [...QUALITY_CODES, 'no-samples' as const].map(reasonInWords)
    expect(new Set(words).size).toBe(QUALITY_CODES.length + 1)
    expect(words.every((w) => w.length > 3)).toBe(true)
  })
})
