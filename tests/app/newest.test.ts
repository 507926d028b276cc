import { describe, expect, it } from 'vitest'
import { formatSignificant } from '../../app/_ui/format.ts'
import { judgedFigure } from '../../app/_ui/judged-figure.ts'
import { newestInWords } from '../../app/_ui/live/newest-words.ts'
import { totalState } from '../../app/_ui/live/total-state.ts'
import { dataInWords } from '../../app/_ui/shell/data-words.ts'
import { unitsOf } from '../../app/_ui/units.tsx'
import type { QualityCode } from '../../shared/quality.ts'
import type { Figure, Live, ZoneNow } from '../../shared/schemas/now.ts'
import { SI_CHOICE } from '../../shared/unit-choice.ts'

const units = unitsOf(SI_CHOICE)
const plain = (text: string) => text.replaceAll('\u00a0', ' ')

const live = (part: Partial<Live> = {}): Live => ({
  channel: 'speed',
  value: 4,
  U: 0.04,
  unit: 'm/s',
  electrical: null,
  electricalUnit: null,
  raw: 4,
  code: 'good',
  timeMs: 0,
  halfWidthMs: 1,
  ...part,
})

describe('what a zone reads beside its cells', () => {
  // 4 m/s is 240 m/min, 0.04 m/s is 2.4 m/min.
  it('carries its uncertainty, and says where that is assumed or not known', () => {
    expect(plain(newestInWords(live(), units))).toBe('240.0 ± 2.4 m/min')
    expect(plain(newestInWords(live({ assumed: true }), units))).toBe('240.0 ± 2.4 m/min (± assumed)')
    const { U: _, ...untold } = live()
    expect(plain(newestInWords(untold, units))).toBe('240 m/min, uncertainty unknown')
    expect(plain(newestInWords({ ...untold, value: 0 }, units)), 'no digits that claim something').toBe(
      '0 m/min, uncertainty unknown',
    )
  })

  it('is no number while bad, and marked while uncertain', () => {
    expect(newestInWords(null, units)).toBe('unknown')
    expect(newestInWords(live({ code: 'stale' }), units)).toBe('unknown: no new sample in time')
    expect(newestInWords(live({ code: 'saturated' }), units)).toContain(', uncertain: ')
  })
})

describe('electrical readings', () => {
  it.each([
    [0.0042041, '0.004204'],
    [12.4, '12.40'],
    [9.99996, '10.00'],
    [-1.26831, '−1.268'],
    [12345.6, '12\u202f346'],
    [0, '0'],
  ])('shows %d with four significant digits as %s', (value, text) => expect(formatSignificant(value)).toBe(text))
})

describe('the noise of a quiet side', () => {
  const figure = (value: number | null, U: number | null, unit: Figure['unit'] = '%'): Figure => ({
    value,
    unit,
    u: null,
    uRandom: null,
    U,
    k: 2,
    dof: null,
    limit: null,
    verdict: { state: 'inside', reason: { kind: 'inside' }, sentence: '' },
    window: null,
    timeMs: null,
    waiting: null,
    why: { formula: '', source: '', inputs: [] },
  })
  const text = (f: Figure, isOneSided = true) => plain(judgedFigure(f, units, isOneSided)?.text ?? 'none')

  it('is under 0.01 % where value and uncertainty together are, and never has more than four decimals', () => {
    expect(text(figure(0.001015, 0.000039))).toBe('under 0.01 %')
    expect(text(figure(0.0098, 0.0004))).toBe('0.0098 ± 0.0004 %')
    expect(text(figure(0.301, 0.012))).toBe('0.301 ± 0.012 %')
    expect(text(figure(null, null))).toBe('none')
  })

  it('rounds an uncertainty too small for the decimals up, never to none', () => {
    expect(text(figure(0.5, 0.000004))).toBe('0.5000 ± 0.0001 %')
  })

  it('keeps the digits of what may be negative: a difference near zero is not under anything', () => {
    expect(text(figure(-0.001, 0.0004), false)).toBe('−0.0010 ± 0.0004 %')
  })
})

describe('a total without a value', () => {
  const now = (
    [drive, operator]: readonly [QualityCode, QualityCode],
    value: number | null,
    kind: 'waiting' | 'no-data',
  ) =>
    ({
      sides: { drive_side: { live: live({ code: drive }) }, operator_side: { live: live({ code: operator }) } },
      total: { value, verdict: { reason: { kind } } },
    }) as unknown as ZoneNow

  it('waits only while both sides give good samples', () => {
    expect(totalState(now(['good', 'good'], null, 'waiting'))).toBe('waiting')
    expect(totalState(now(['good', 'no-answer'], null, 'waiting'))).toBe('unknown')
    expect(totalState(now(['good', 'good'], null, 'no-data'))).toBe('unknown')
    expect(totalState(now(['good', 'good'], 400, 'waiting'))).toBe('told')
    expect(totalState(null)).toBe('unknown')
  })
})

describe('age of the data, apart from the link', () => {
  const ages = (drive: number | null, operator: number | null, rateHz = 100) => {
    const sides = [
      { name: 'Drive side', seconds: drive },
      { name: 'Operator side', seconds: operator },
    ]
    const { text, isWhole } = dataInWords(sides, rateHz)
    return [plain(text), isWhole]
  }

  it('is that of the older side while both give data', () => {
    expect(ages(0.1, 0.3)).toEqual(['Data 0.3 s old.', true])
  })

  it('names the side that gives none, and for how long', () => {
    expect(ages(0.1, 20)).toEqual(['Operator side: no data for 20 s.', false])
    expect(ages(null, 0.1)).toEqual(['Drive side: no data yet.', false])
  })

  it('says of a zone without data how long it has had none', () => {
    expect(ages(21, 20)).toEqual(['No data for 20 s.', false])
    expect(ages(null, null)).toEqual(['No data yet.', false])
    expect(ages(null, 20)).toEqual(['No data for 20 s.', false])
  })

  it('gives a slow zone three samples', () => {
    expect(ages(5, 0.1, 0.5)).toEqual(['Data 5.0 s old.', true])
    expect(ages(6.1, 0.1, 0.5)).toEqual(['Drive side: no data for 6.1 s.', false])
  })
})
