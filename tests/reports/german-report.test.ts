import { describe, expect, it } from 'vitest'
import { toldReport } from '../../gateway/reports/record-report.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import { SAME_IN_GERMAN } from '../texts/same-in-german.ts'
import { contextOf, recordOf } from '../verification/support/made-record.ts'
import { everyTest, PHOTO, PNG, RECORD_TITLES, recordNamed } from '../verification/support/made-records.ts'
import { type SeenText, textsOf } from './support/texts-of.ts'

/** Compared with another, so that its words are on the page too. */
function toldIn(record: VerificationRecord, choice: { readonly language: 'en' | 'de'; readonly mark: '.' | ',' }) {
  const comparison = compareRecords(
    recordNamed(record.head.title === 'Nothing could be done' ? 'whole' : 'long names'),
    record,
  )
  const photos = new Map([[PHOTO, PNG]])
  return toldReport({ record, photos, comparison, printedMs: 1_760_000_300_000, timeZone: 'UTC', paper: null, choice })
}
const GERMAN = { language: 'de', mark: ',' } as const
const ENGLISH = { language: 'en', mark: '.' } as const

/** A date that both languages write otherwise, as one word of both. */
const withoutDates = (text: string) => text.replace(/\d{4}-\d\d-\d\d(?= \d\d:)|\d\d\.\d\d\.\d{4}(?= \d\d:)/g, 'DAY')
const numbersIn = (text: string): readonly string[] =>
  (withoutDates(text).match(/\d+(?:[.,]\d+)*/g) ?? []).map((number) => number.replace(',', '.')).sort()
const words = (texts: readonly SeenText[]) => texts.filter(({ isLeft }) => !isLeft).map(({ text }) => text)

describe.each(RECORD_TITLES)('The German report of the record: %s', (title) => {
  const record = recordNamed(title)
  const german = toldIn(record, GERMAN)
  const english = toldIn(record, ENGLISH)
  const [de, en] = [textsOf(german.page), textsOf(english.page)]

  it('covers every text of the program, and says that it is German', () => {
    expect(german.untold).toEqual([])
    expect(german.page).toContain('<html lang="de">')
    expect(english.page).toContain('<html lang="en">')
  })

  it('has every text of the English one in its place, and none of them in English', () => {
    expect(de.map(({ place }) => place)).toEqual(en.map(({ place }) => place))
    const same = new Set(SAME_IN_GERMAN)
    const left = words(en).filter(
      (text, i) => text === words(de)[i] && /[a-z]{2,} [a-z]{2,}/.test(text) && !same.has(text),
    )
    expect(left).toEqual([])
    expect(words(de.slice(1)).filter((text) => /\b(the|of|and|is|not|with|by)\b/.test(text))).toEqual([])
  })

  it('leaves what people typed, ids, digests and the config as they are', () => {
    const left = (texts: readonly SeenText[]) => texts.filter(({ isLeft, isShort }) => isLeft && !isShort)
    expect(left(de)).toEqual(left(en))
  })

  it('has the figures of the English one in each text, with a decimal comma', () => {
    for (const [i, text] of words(en).entries()) expect(numbersIn(words(de)[i] ?? ''), text).toEqual(numbersIn(text))
    const pointed = words(de)
      .map(withoutDates)
      .filter((text) => /(?<![\d.A-Z] ?|Evenpull )\b\d+\.\d+ ?(±|N|mm|%|s|V|mV|°|Hz|kg|K)\b/.test(text))
    expect(pointed).toEqual([])
  })
})

describe('The German report of a line of the simulator', () => {
  const lines = ['demo', 'fast-paper', 'narrow-foil', 'wide-film', 'winder']
  it.each(lines)('covers every test of every zone, done as found and as left, and not done: %s', (name) => {
    for (const { id } of contextOf(name).config.zones) {
      const context = contextOf(name, id)
      for (const made of [everyTest(context, 'as-found'), everyTest(context), []])
        expect(toldIn(recordOf(context, 'Line', made), GERMAN).untold, id).toEqual([])
    }
  })
})

describe('The decimal sign of a report', () => {
  const record = recordNamed('whole')

  it('may be another than that of its language, both ways', () => {
    const comma = toldIn(record, { language: 'en', mark: ',' }).page.replaceAll('\u00a0', ' ')
    const point = toldIn(record, { language: 'de', mark: '.' }).page.replaceAll('\u00a0', ' ')
    expect(comma).toContain('0,090 ± 0,010 mm')
    expect(comma).not.toContain('0.090 ± 0.010 mm')
    expect(point).toContain('0.090 ± 0.010 mm')
    expect(point).not.toContain('0,090 ± 0,010 mm')
  })

  it('and its language change nothing of the record: the same digest stands on it', () => {
    const before = JSON.stringify(record)
    for (const choice of [GERMAN, ENGLISH]) expect(toldIn(record, choice).page).toContain(record.digest)
    expect(JSON.stringify(record)).toBe(before)
  })
})

describe('A sentence that was recorded by a program with other words', () => {
  it('stays as it was recorded, and the German report says that it does', () => {
    const record = recordNamed('long names')
    const entries = record.entries.map((entry) =>
      entry.kind === 'result'
        ? { ...entry, result: { ...entry.result, sentence: 'Whatever the wombat measured before.' } }
        : entry,
    )
    const { page, untold } = toldIn({ ...record, entries }, GERMAN)
    expect(untold).toContain('Whatever the wombat measured before.')
    expect(page).toContain('Whatever the wombat measured before.')
    expect(page).toContain('Was auf Englisch dasteht')
    expect(toldIn(record, GERMAN).page).not.toContain('Was auf Englisch dasteht')
  })
})
