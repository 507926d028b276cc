import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Random } from '../../lib/uncertainty/random.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import type { RecordFigure } from '../../shared/schemas/verification/result.ts'
import type { TestPhase, VerificationRecord } from '../../shared/schemas/verification.ts'
import { contextOf, recordOf, resultEntry } from './support/made-record.ts'

const context = contextOf('install')
const withRunout = (value: number) =>
  recordOf(context, `Runout ${value}`, [resultEntry(context, 'fit.runout', { runout: value })])
const withId = (record: VerificationRecord, id: string): VerificationRecord => ({
  ...record,
  head: { ...record.head, id },
})

const PLAIN = withRunout(0.03)

/** The record with its figures changed, as another visit might have told them. */
const withFigure = (record: VerificationRecord, change: Partial<RecordFigure>): VerificationRecord => ({
  ...record,
  entries: record.entries.map((entry) =>
    entry.kind === 'result'
      ? { ...entry, result: { ...entry.result, figures: entry.result.figures.map((one) => ({ ...one, ...change })) } }
      : entry,
  ),
})

describe('two records', () => {
  it('of which one is the other: nothing changed', () => {
    const record = withRunout(0.03)
    const { changed, unchanged, notComparable } = compareRecords(record, record)
    expect([changed, notComparable]).toEqual([[], []])
    expect(unchanged).toHaveLength(1)
  })

  it('differ by less than both uncertainties: not told apart', () => {
    // U = 2 × 0.005 mm each, together 0.0141 mm.
    const { changed, unchanged } = compareRecords(withRunout(0.03), withRunout(0.042))
    expect(changed).toEqual([])
    expect(unchanged[0]?.difference?.U).toBeCloseTo(0.01414, 5)
  })

  it('differ by more: changed, with the difference and its uncertainty', () => {
    const { changed } = compareRecords(withRunout(0.03), withRunout(0.05))
    expect(changed[0]?.sentence).toBe(
      'Runout of the shell: Runout: 0.030 ± 0.010 mm before, 0.050 ± 0.010 mm after; changed by 0.020 ± 0.014 mm, 40 % of what its limit allows; was inside, is undecided.',
    )
  })

  it('of a temperature: both are told in °C, their difference in K', () => {
    const at = (value: number) => withFigure(PLAIN, { title: 'Temperature', value, U: 0.5, unit: '°C', limit: null })
    expect(compareRecords(at(20), at(25)).changed[0]?.sentence).toMatch(
      /: 20\.00 ± 0\.50 °C before, 25\.00 ± 0\.50 °C after; changed by 5\.00 ± 0\.\d+ K\.$/,
    )
  })

  it('answered otherwise: changed', () => {
    const answers = (free: boolean) => ({ 'free-play.drive_side': free, 'free-play.operator_side': true })
    const made = (free: boolean) => recordOf(context, 'Play', [resultEntry(context, 'fit.free-play', answers(free))])
    expect(compareRecords(made(true), made(false)).changed.map(({ sentence }) => sentence)).toEqual([
      'Free play of both cells: Free play is felt, drive side: was yes, is no; was inside, is outside.',
    ])
  })

  it('of which only one holds a test: not comparable, never unchanged', () => {
    const { notComparable, unchanged } = compareRecords(recordOf(context, 'Empty', []), withRunout(0.03))
    expect(unchanged).toEqual([])
    expect(notComparable[0]?.sentence).toContain('was not measured in the earlier record')
  })

  it('compared the other way round: the opposite difference, the same uncertainty and the same verdict', () => {
    const value = fc.double({ min: 0, max: 0.1, noNaN: true })
    fc.assert(
      fc.property(value, value, (a, b) => {
        const there = compareRecords(withRunout(a), withRunout(b))
        const back = compareRecords(withRunout(b), withRunout(a))
        expect(there.changed.length).toBe(back.changed.length)
        const first = [...there.changed, ...there.unchanged][0]?.difference
        const second = [...back.changed, ...back.unchanged][0]?.difference
        expect(first?.value).toBeCloseTo(-(second?.value ?? Number.NaN), 12)
        expect(first?.U).toBeCloseTo(second?.U ?? Number.NaN, 12)
      }),
      { numRuns: 60 },
    )
  })

  it('have what is judged otherwise first, then what is large against its limit', () => {
    const limit = (high: number) => ({ low: -high, high, text: '', source: '' })
    const figures = (values: readonly number[]) =>
      [100, 1, 10].map((high, i) => ({ ...figureIn(PLAIN), id: `f${i}`, value: values[i] ?? 0, limit: limit(high) }))
    const told = compareRecords(withFigures(figures([0, 0, 0])), withFigures(figures([1, 0.5, 2])))
    expect(told.changed.map(({ figure, ofLimit }) => [figure, ofLimit])).toEqual([
      ['f1', 0.5],
      ['f2', 0.2],
      ['f0', 0.01],
    ])
  })

  it('of a number that bears no uncertainty: equal is unchanged, judged otherwise is changed, else nobody can say', () => {
    const bare = (value: number, state: 'inside' | 'outside') =>
      withFigure(PLAIN, { value, u: 0, uRandom: 0, U: 0, verdict: { ...figureIn(PLAIN).verdict, state } })
    expect(compareRecords(bare(3, 'inside'), bare(3, 'inside')).unchanged).toHaveLength(1)
    expect(compareRecords(bare(0, 'inside'), bare(9, 'outside')).changed).toHaveLength(1)
    expect(compareRecords(bare(3, 'inside'), bare(4, 'inside')).notComparable[0]?.reason).toBe(
      '3 mm before, 4 mm after, without an uncertainty to tell a change by',
    )
  })

  it('of two zones are not compared, and say so', () => {
    const other = recordOf(contextOf('winder'), 'Other', [])
    const told = compareRecords(withRunout(0.03), { ...other, head: { ...other.head, zone: 'elsewhere' } })
    expect([told.changed, told.unchanged, told.notComparable, told.onReturn]).toEqual([[], [], [], null])
    expect(told.notes).toEqual([expect.stringContaining('two zones')])
  })

  it('say when config, software or a correction stand between them', () => {
    const plain = withRunout(0.03)
    const later = recordOf(context, 'Later', [
      resultEntry(context, 'fit.runout', { runout: 0.03 }),
      { kind: 'correction', of: 1, text: 'It was the wrong roller.' },
    ])
    const changed = { ...plain, head: { ...plain.head, revision: 'abc', software: '0.0.9' } }
    const { notes } = compareRecords(changed, later)
    for (const words of ['The config is another one (abc before', 'Judged by version 0.0.9 before', 'at entry 1:'])
      expect(notes.join(' ')).toContain(words)
    expect(compareRecords(plain, plain).notes).toHaveLength(1)
  })

  it('of one test: another unit, an unknown or a number without uncertainty is not comparable', () => {
    const record = withRunout(0.03)
    const changed = (change: Partial<RecordFigure>) => compareRecords(record, withFigure(record, change)).notComparable
    expect(changed({ unit: 'µm' })[0]?.reason).toBe('is told in mm before and in µm after')
    expect(changed({ value: null })[0]?.reason).toBe('was unknown in the later record')
    expect(changed({ U: null })[0]?.reason).toBe('bears no uncertainty in the later record')
    expect(changed({ answer: 'yes' })[0]?.reason).toBe('was answered once and measured once')
  })
})

const withFigures = (figures: readonly RecordFigure[]): VerificationRecord => ({
  ...PLAIN,
  entries: PLAIN.entries.map((e) =>
    e.kind === 'result' ? { ...e, result: { ...e.result, figures: [...figures] } } : e,
  ),
})

function figureIn({ entries }: VerificationRecord): RecordFigure {
  const [figure] = entries.flatMap((entry) => (entry.kind === 'result' ? entry.result.figures : []))
  if (figure === undefined) throw new RangeError('no figure')
  return figure
}

describe('what was found on return', () => {
  const runout = (value: number, phase: TestPhase, attempt: number) =>
    resultEntry(context, 'fit.runout', { runout: value }, [], phase, attempt)
  const earlier = withRunout(0.02)
  const later = withId(
    recordOf(context, 'Return', [runout(0.09, 'as-found', 1), runout(0.02, 'as-left', 2)]),
    '6d2c9a7e-3c1b-4f57-9d0e-6a1f0b9c7e21',
  )

  it('is held against what was left then, apart from what is left now', () => {
    const told = compareRecords(earlier, later)
    expect(told.unchanged.map(({ figure }) => figure)).toEqual(['runout'])
    expect(told.onReturn?.changed.map(({ after }) => after)).toMatchObject([{ value: 0.09, phase: 'as-found', seq: 1 }])
  })

  it('is nothing where the later record kept nothing as found, or is the same record', () => {
    expect(compareRecords(later, earlier).onReturn).toBeNull()
    expect(compareRecords(later, later).onReturn).toBeNull()
  })
})

describe('points of a running web', () => {
  const at = (point: string | null, value = 1, more: Partial<RecordFigure> = {}) =>
    withFigure(PLAIN, { point, value, ...more })
  const points = (...records: VerificationRecord[]): VerificationRecord => {
    const [first] = records
    if (first === undefined) throw new RangeError('no record')
    const figures = records.flatMap(({ entries }) =>
      entries.flatMap((e) => (e.kind === 'result' ? e.result.figures : [])),
    )
    return {
      ...first,
      entries: first.entries.map((e) => (e.kind === 'result' ? { ...e, result: { ...e.result, figures } } : e)),
    }
  }

  it('are the same within 10 %, whatever their names say to the digit', () => {
    const { unchanged } = compareRecords(at('120 m/min, 250 N'), at('118 m/min, 252 N'))
    expect(unchanged[0]?.sentence).toContain('at 120 m/min, 250 N before and 118 m/min, 252 N after')
  })

  it.each([
    ['another speed', '140 m/min, 250 N'],
    ['another tension', '120 m/min, 300 N'],
    ['a speed that nothing told', 'speed not told, 250 N'],
    ['words that are no point', 'first rope'],
    ['no point', null],
  ])('are not the same at %s', (_, point) => {
    const { notComparable, changed, unchanged } = compareRecords(at('120 m/min, 250 N'), at(point))
    expect([changed, unchanged]).toEqual([[], []])
    expect(notComparable).toHaveLength(2)
  })

  it('go to the nearest one, each once', () => {
    const then = points(at('100 m/min, 250 N', 1), at('105 m/min, 250 N', 2))
    const now = points(at('104 m/min, 250 N', 2), at('99 m/min, 250 N', 1))
    expect(compareRecords(then, now).unchanged.map(({ before, after }) => [before?.value, after?.value])).toEqual([
      [1, 1],
      [2, 2],
    ])
  })

  it('of newtons are known no better than where they were taken', () => {
    // U = √2 × 0.01, and 10 N of 100 N × (2 × 2/98 of speed + 0 of tension).
    const { unchanged } = compareRecords(
      at('100 m/min, 250 N', 10, { unit: 'N' }),
      at('98 m/min, 250 N', 10.4, { unit: 'N' }),
    )
    expect(unchanged[0]?.difference?.U).toBeCloseTo(0.014142 + 10.4 * 2 * (2 / 98), 5)
  })
})

describe('the uncertainty of a difference', () => {
  const figure = (value: number, u: number, uRandom: number): VerificationRecord =>
    withFigure(PLAIN, { value, u, uRandom, U: 2 * u, k: 2 })
  const differenceOf = (a: VerificationRecord, b: VerificationRecord) => {
    const { changed, unchanged } = compareRecords(a, b)
    return [...changed, ...unchanged][0]?.difference
  }

  it('adds systematic parts outright where the values have opposite signs: a shared gain then works both ways', () => {
    // JCGM 100, 5.2.2 with r = −1: u = |u₁| + |u₂|; the random parts in quadrature.
    expect(differenceOf(figure(1, 0.5, 0.3), figure(2, 0.5, 0.3))?.U).toBeCloseTo(2 * Math.SQRT2 * 0.5, 12)
    expect(differenceOf(figure(1, 0.5, 0.3), figure(-1, 0.5, 0.3))?.U).toBeCloseTo(
      2 * Math.hypot(Math.SQRT2 * 0.3, 0.8),
      12,
    )
  })

  it.each([
    ['one gain, values alike', 3, 3.2, 0.05, 0],
    ['one gain, values of opposite sign', 3, -3, 0.05, 0],
    ['one offset, values of opposite sign', 0.5, -0.5, 0, 0.1],
    ['one gain and one offset', 2, -2.5, 0.03, 0.05],
  ])(
    'holds the true difference nineteen times of twenty and more where both visits share %s',
    (_, first, second, gain, offset) => {
      const random = Random.seeded(23)
      const noise = 0.05
      const runs = 2000
      let held = 0
      for (let i = 0; i < runs; i += 1) {
        const [g, o] = [1 + gain * random.normal(), offset * random.normal()]
        const told = (truth: number) => {
          const uSystematic = Math.hypot(gain * truth, offset)
          return figure(truth * g + o + noise * random.normal(), Math.hypot(uSystematic, noise), noise)
        }
        const d = differenceOf(told(first), told(second))
        if (d !== undefined && d !== null && Math.abs(d.value - (second - first)) <= d.U) held += 1
      }
      // k = 2 covers 95.4 %; three standard deviations of a binomial of 2000 are 1.4 %.
      expect(held / runs).toBeGreaterThan(0.94)
    },
  )

  it('calls noise alone a change in at most one of twenty, at any degrees of freedom', () => {
    const random = Random.seeded(11)
    const runs = 3000
    // Two means of four each: k = t₉₅(3) = 3.182 (JCGM 100, table G.2).
    let called = 0
    const mean = () => {
      const x = Array.from({ length: 4 }, () => random.normal())
      const m = x.reduce((sum, one) => sum + one, 0) / 4
      const u = Math.sqrt(x.reduce((sum, one) => sum + (one - m) ** 2, 0) / 3 / 4)
      return withFigure(PLAIN, { value: 10 + m, u, uRandom: u, U: 3.182 * u, k: 3.182, dof: 3 })
    }
    for (let i = 0; i < runs; i += 1) if (compareRecords(mean(), mean()).changed.length > 0) called += 1
    expect(called / runs).toBeLessThan(0.05)
    expect(called).toBeGreaterThan(10)
  })
})
