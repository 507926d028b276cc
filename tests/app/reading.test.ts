import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { flagCount, flagInWords } from '../../app/_plots/flag-words.ts'
import { flagsBetween } from '../../app/_plots/flags.ts'
import { gapRule } from '../../app/_plots/gap-rule.ts'
import { perSecond, summaryOf } from '../../app/_plots/per-second.ts'
import { difference, readingAt } from '../../app/_plots/reading.ts'
import { reasonInWords } from '../../app/_plots/reason.ts'
import { ZoneRing } from '../../app/_stream/ring.ts'
import { QUALITY_CODES, type QualityCode, qualityOf } from '../../shared/quality.ts'
import { type Row, ringWith, rowsArbitrary } from './plot-rows.ts'

const rule = { holeMs: 50, envelopeHoleMs: 1500, silenceMs: 100, pausesMs: 300 }
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

  it('names the reason of a bad row in the short hole after it', () => {
    const seldom = ringWith([row(1000, 1), row(1010, 0, 'no-answer'), row(1260, 0, 'no-answer'), row(1300, 1)])
    expect(readingAt(seldom, 0, 1150, 5, rule)).toEqual({
      kind: 'gap',
      reason: 'no-answer',
      fromMs: 1010,
      toMs: 1300,
    })
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
  const NO_REASON = ['missing', 'no-samples']

  it('tells every moment without a number, for every column, and no other', () => {
    fc.assert(
      fc.property(rowsArbitrary, (rows) => {
        const from = rows[0]?.t ?? 0
        const to = (rows.at(-1)?.t ?? 0) + 1
        const flags = flagsBetween(ringWith(rows), [0, 1], from, to, rule)
        for (const c of [0, 1] as const) {
          for (const [i, r] of rows.entries()) {
            const hit = flags.filter((f) => f.columns.includes(c) && f.fromMs <= r.t && r.t < f.toMs)
            const quality = qualityOf(r.codes[c])
            const isBeforeHole = (rows[i + 1]?.t ?? 0) - r.t > rule.holeMs
            if (quality === 'good' && isBeforeHole) expect(hit.map((f) => f.kind)).toEqual(['gap'])
            else if (quality === 'good') expect(hit).toEqual([])
            else expect(hit.map((f) => f.kind)).toEqual([quality === 'bad' ? 'gap' : 'uncertain'])
            if (quality !== 'good' && r.codes[c] !== 'missing') expect(hit.map((f) => f.reason)).toEqual([r.codes[c]])
          }
          for (const [i, r] of rows.entries()) {
            const before = rows[i - 1]?.t ?? r.t
            if (r.t - before <= rule.holeMs) continue
            const late = r.t - 1
            expect(flags.some((f) => f.columns.includes(c) && f.fromMs <= late && late < f.toMs)).toBe(true)
          }
        }
      }),
    )
  })

  it('never leaves two touching gaps of one column that one reason would tell', () => {
    fc.assert(
      fc.property(rowsArbitrary, (rows) => {
        const [from, to] = [rows[0]?.t ?? 0, (rows.at(-1)?.t ?? 0) + 1]
        const flags = flagsBetween(ringWith(rows), [0], from, to, rule).filter((f) => f.kind === 'gap')
        for (const [i, flag] of flags.entries()) {
          const next = flags[i + 1]
          if (next === undefined || next.fromMs !== flag.toMs) continue
          expect(next.reason).not.toBe(flag.reason)
          const short = [flag, next].filter((f) => f.toMs - f.fromMs <= rule.pausesMs)
          expect(short.filter((f) => NO_REASON.includes(f.reason))).toEqual([])
        }
      }),
    )
  })

  it('is one stretch for a device that is asked seldom while it does not answer, from its last good sample on', () => {
    const seldom = [0, 1, 2, 3].map((n) => row(1250 + n * 250, 0, 'no-answer'))
    expect(flagsBetween(ringWith([row(990, 1), row(1000, 1), ...seldom]), [0], 900, 2050, rule)).toEqual([
      { columns: [0], kind: 'gap', reason: 'no-answer', fromMs: 1000, toMs: 2050, isOpen: true },
    ])
  })

  it('is one stretch while rows of the other side come in between', () => {
    const rows = [
      row(1000, 1),
      row(1010, 0, 'missing'),
      row(1020, 0, 'no-answer'),
      row(1030, 0, 'missing'),
      row(1040, 2),
    ]
    expect(flagsBetween(ringWith(rows), [0, 1], 900, 1041, rule)).toEqual([
      { columns: [0], kind: 'gap', reason: 'no-answer', fromMs: 1010, toMs: 1040, isOpen: false },
    ])
  })

  it('keeps two reasons that follow one another apart', () => {
    const rows = [row(1000, 0, 'wire-break'), row(1010, 0, 'no-answer'), row(1020, 1)]
    expect(flagsBetween(ringWith(rows), [0], 900, 1021, rule).map((f) => [f.reason, f.fromMs, f.toMs])).toEqual([
      ['wire-break', 1000, 1010],
      ['no-answer', 1010, 1020],
    ])
  })

  it('gives a long hole after a bad row no reason that nobody recorded', () => {
    const rows = [row(1000, 0, 'no-answer'), row(5000, 1)]
    expect(flagsBetween(ringWith(rows), [0], 900, 5001, rule).map((f) => [f.reason, f.fromMs, f.toMs])).toEqual([
      ['no-answer', 1000, 1050],
      ['no-samples', 1050, 5000],
    ])
  })

  it('keeps the whole length of a stretch that began before the picture', () => {
    const rows = Array.from({ length: 50 }, (_, n) => row(1000 + n * 20, 0, 'frozen'))
    expect(flagsBetween(ringWith(rows), [0], 1900, 1990, rule)).toMatchObject([{ fromMs: 1000, toMs: 1990 }])
  })

  it('flags the time since the newest sample, for all signals at once, while nothing comes', () => {
    expect(flagsBetween(ringWith([row(1000, 1)]), [0, 1], 900, 3000, rule)).toEqual([
      { columns: [0, 1], kind: 'gap', reason: 'no-samples', fromMs: 1000, toMs: 3000, isOpen: true },
    ])
  })
})

describe('flagInWords', () => {
  const columns = [{ label: 'drive side' }, { label: 'operator side' }, { label: 'web speed' }]
  const gap = { kind: 'gap', reason: 'no-answer', fromMs: 1_700_000_000_000, toMs: 1_700_000_052_000 } as const
  const say = (columnsOf: readonly number[], isOpen: boolean, isPaused = false) =>
    flagInWords({ ...gap, columns: columnsOf, isOpen }, columns, isPaused).replaceAll('\u00a0', ' ')

  it('says from when to when, how long, who and why', () => {
    expect(say([0], true)).toMatch(/^\d\d:\d\d:\d\d to now, 52 s: drive side, no value, the device did not answer$/)
    expect(say([0, 1], false)).toMatch(/:\d\d to \d\d:\d\d:\d\d, 52 s: drive side and operator side, no value/)
    expect(say([0, 1, 2], true)).toContain(': all signals, ')
  })

  it('says now only of a picture that runs', () => {
    expect(say([0], true, true)).not.toContain('now')
  })

  it('counts stretches in proper English', () => {
    expect([0, 1, 2].map(flagCount)).toEqual(['No gaps', '1 flagged stretch', '2 flagged stretches'])
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
