import { describe, expect, it } from 'vitest'
import { toldReport } from '../../gateway/reports/record-report.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import { namedUnits, SI_CHOICE, type UnitChoice } from '../../shared/unit-choice.ts'
import { contextOf, recordOf, resultEntry } from '../verification/support/made-record.ts'
import { everyTest, PHOTO, PNG, RECORD_TITLES, recordNamed } from '../verification/support/made-records.ts'
import { textsOf } from './support/texts-of.ts'

const US = namedUnits('us') ?? SI_CHOICE
const LANGUAGES = [
  ['en', '.'],
  ['de', ','],
] as const

interface Told {
  readonly language?: 'en' | 'de'
  readonly mark?: '.' | ','
  readonly units?: UnitChoice
}
/** Compared with another, so that its figures are on the page too. */
function toldIn(record: VerificationRecord, { language = 'en', mark = '.', units = US }: Told = {}) {
  const comparison = compareRecords(
    recordNamed(record.head.title === 'Nothing could be done' ? 'whole' : 'long names'),
    record,
  )
  return toldReport({
    record,
    photos: new Map([[PHOTO, PNG]]),
    comparison,
    printedMs: 1_760_000_300_000,
    timeZone: 'UTC',
    paper: null,
    choice: { language, mark, units },
  })
}
const withoutNbsp = (text: string) => text.replaceAll('\u00a0', ' ')
/** A number before a unit that has another one in the US, alone or in a quotient. */
const SI_UNIT =
  /\d[\s\u00a0]?(?:[A-Za-zÄÖÜ%°/]+\/)?(?:N|kN|mm|m|m\/min|m\/s|m\/s²|°C|K)(?:\/[A-Za-z/]+)?(?![\p{L}\d·²³°/_=(-])/u
const toldTexts = (page: string) => textsOf(page).filter(({ isLeft, place }) => !isLeft && !place.includes('dl.about'))
const inSi = (page: string) =>
  toldTexts(page)
    .map(({ text }) => text)
    .filter((text) => SI_UNIT.test(text))

describe.each(RECORD_TITLES)('The report in US units of the record: %s', (title) => {
  const record = recordNamed(title)

  it.each(LANGUAGES)('tells no number in a unit that was not chosen, in "%s"', (language, mark) => {
    const { page, untold } = toldIn(record, { language, mark })
    expect(inSi(page)).toEqual([])
    expect(untold).toEqual([])
  })

  it('draws the same picture to another scale', () => {
    const [si, us] = [toldIn(record, { units: SI_CHOICE }).page, toldIn(record).page]
    const drawn = (page: string) => [...page.matchAll(/<path d="([^"]*)"/g)].map(([, d = '']) => d)
    const places = (page: string) => drawn(page).map((d) => (d.match(/-?\d+(?:\.\d+)?/g) ?? []).map(Number))
    const [before, after] = [places(si), places(us)]
    expect(after).toHaveLength(before.length)
    for (const [i, path] of before.entries())
      for (const [j, place] of path.entries())
        expect(Math.abs(place - (after[i]?.[j] ?? Number.NaN))).toBeLessThan(0.11)
  })

  it('has its differences between the numbers that stand beside them', () => {
    const rows = [...toldIn(record).page.matchAll(/<tr><th scope="row">.*?<\/tr>/gs)].map(([row]) => row)
    let seen = 0
    for (const row of rows) {
      const cells = [...row.matchAll(/<td data-of="[^"]*">(.*?)<\/td>/gs)].map(([, cell = '']) => withoutNbsp(cell))
      const [before, after, difference] = cells.map((cell) => />?(?<!\d)([-−]?[\d.]+) ± ([\d.]+)/.exec(cell))
      if (!before || !after || !difference) continue
      seen += 1
      const number = (match: RegExpExecArray) => Number(match[1]?.replace('−', '-'))
      const place = 10 ** -(difference[2]?.split('.')[1]?.length ?? 0)
      const rough = [before, after].map((match) => 10 ** -(match[2]?.split('.')[1]?.length ?? 0))
      const apart = Math.abs(number(after) - number(before) - number(difference))
      expect(apart, row).toBeLessThanOrEqual(2 * place + Math.max(...rough))
    }
    const { changed, unchanged } = compareRecords(recordNamed('long names'), record)
    if (title === 'whole') expect(seen).toBeGreaterThan((changed.length + unchanged.length) / 4)
  })
})

describe('The report in US units of a line of the simulator', () => {
  it.each(['demo', 'fast-paper', 'narrow-foil', 'wide-film', 'winder'])('tells no number in SI: %s', (name) => {
    for (const { id } of contextOf(name).config.zones) {
      const context = contextOf(name, id)
      const record = recordOf(context, 'Line', [...everyTest(context, 'as-found'), ...everyTest(context)])
      expect(inSi(toldIn(record).page), id).toEqual([])
    }
  })
})

describe('A figure of a report', () => {
  // 1 in = 25.4 mm, 1 lbf = 4.4482216 N (NIST SP 811 (2008), B.8).
  it('is converted with its uncertainty, U to two digits and the value to the same place', () => {
    const page = withoutNbsp(toldIn(recordNamed('whole')).page)
    // 0.090 ± 0.010 mm
    expect(page).toContain('0.00354 ± 0.00039 in')
    expect(page).not.toContain('0.090 ± 0.010')
  })

  it('is told of a temperature with its offset, of a difference of two without', () => {
    const at = (value: number) => withTemperature(value)
    const comparison = compareRecords(at(20), at(25))
    const page = (units: UnitChoice) =>
      withoutNbsp(
        toldReport({
          record: at(25),
          photos: new Map(),
          comparison,
          printedMs: 0,
          timeZone: 'UTC',
          paper: null,
          choice: { language: 'en', mark: '.', units },
        }).page,
      )
    // 20 °C = 68 °F, 25 °C = 77 °F, 5 K = 9 °F.
    for (const words of ['68.00 ± 0.90 °F', '77.00 ± 0.90 °F', '9.0 ± 1.3 °F']) expect(page(US)).toContain(words)
    for (const words of ['20.00 ± 0.50 °C', '25.00 ± 0.50 °C', '5.00 ± 0.71 K'])
      expect(page(SI_CHOICE)).toContain(words)
  })

  it('stands on an axis in the unit that the axis names', () => {
    const axes = (units: UnitChoice) => {
      const page = toldIn(recordNamed('sixty captures'), { units }).page
      const [svg = ''] = /<svg class="plot".*?<\/svg>/s.exec(page) ?? []
      return [...svg.matchAll(/<text [^>]*>([^<]*)<\/text>/g)].map(([, text = '']) => text)
    }
    const [top, bottom, unit] = axes(SI_CHOICE)
    const [usTop, usBottom, usUnit] = axes(US)
    expect([unit, usUnit]).toEqual(['N', 'lbf'])
    for (const [newtons, pounds] of [
      [top, usTop],
      [bottom, usBottom],
    ])
      expect(Math.abs(Number(pounds) - Number(newtons) / 4.4482216)).toBeLessThan(1.2)
  })
})

/** A record in which the one figure is a temperature. */
function withTemperature(value: number): VerificationRecord {
  const context = contextOf('install')
  const record = recordOf(context, `At ${value}`, [resultEntry(context, 'fit.runout', { runout: 0.02 })])
  const entries = record.entries.map((entry) => {
    if (entry.kind !== 'result') return entry
    const figures = entry.result.figures.map((one) => ({
      ...one,
      title: 'Temperature',
      value,
      U: 0.5,
      unit: '°C',
      limit: null,
    }))
    return { ...entry, result: { ...entry.result, figures } }
  })
  return { ...record, entries }
}

it('A figure that did not change stands in the list of those as it stands with its test', () => {
  const record = recordNamed('whole')
  const page = withoutNbsp(
    toldReport({
      record,
      photos: new Map(),
      comparison: compareRecords(record, record),
      printedMs: 0,
      timeZone: 'UTC',
      paper: null,
      choice: { language: 'en', mark: '.', units: US },
    }).page,
  )
  const [compact = ''] = /<table class="compact">.*?<\/table>/s.exec(page) ?? []
  const rows = [
    ...compact.matchAll(
      /<td data-of="Then">(\S+ ± \S+)<\/td>\s*<td[^>]*>\S+ ± \S+<\/td><td[^>]*>\S+ ± \S+ ([^<]+)<\/td>/g,
    ),
  ]
  expect(rows.length).toBeGreaterThan(20)
  for (const [row, figure, unit] of rows) expect(page.replace(compact, ''), row).toContain(`${figure} ${unit}`)
})

describe('The units of a report', () => {
  const record = recordNamed('whole')
  const firstPage = (told: Told) => withoutNbsp(toldIn(record, told).page.split('<section class="stage">')[0] ?? '')

  it('stand on its first page, with what is recorded', () => {
    expect(firstPage({})).toContain('Told in lbf, lbf/in, ft/min, in, °F, kg; recorded in SI.')
    expect(firstPage({ units: SI_CHOICE })).toContain('Told in N, N/m, m/min, mm, °C, K, kg; recorded in SI.')
    expect(firstPage({ language: 'de', mark: ',' })).toContain(
      'In lbf, lbf/in, ft/min, in, °F, kg; aufgezeichnet in SI.',
    )
  })

  it('change nothing of the record: the same digest stands on it', () => {
    const before = JSON.stringify(record)
    expect(toldIn(record).page).toContain(record.digest)
    expect(JSON.stringify(record)).toBe(before)
  })

  it('are not those of what people typed, nor of the config', () => {
    const context = contextOf('install')
    const text = 'Shimmed by 0.5 mm at 20 °C, pulled with 50 N.'
    const made = recordOf(context, 'Typed', [{ kind: 'note', test: 'fit.runout', text }])
    const { page } = toldIn(made)
    expect(page).toContain(text)
    expect(/<pre>.*?<\/pre>/s.exec(page)?.[0]).toBe(
      /<pre>.*?<\/pre>/s.exec(toldIn(made, { units: SI_CHOICE }).page)?.[0],
    )
  })
})
