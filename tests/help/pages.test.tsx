import { existsSync, readdirSync } from 'node:fs'
import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, it } from 'vitest'
import { FIRST_CONNECTION, OWN_LIMITS, SENDING_ON } from '../../app/help/_model/first-connection.ts'
import { HELP_PAGES } from '../../app/help/_model/help-pages.ts'
import { CALIBRATION_ROWS, DRIFT_ROWS, LIVE_ROWS } from '../../app/help/figures/figure-rows.ts'
import FiguresPage from '../../app/help/figures/page.tsx'
import { alarmRows, keptRows, runningRows, unitOfKey, verificationRows } from '../../app/help/limits/limit-rows.ts'
import LimitsPage from '../../app/help/limits/page.tsx'
import { bytesInWords, rateInWords } from '../../app/help/many-lines/size-words.ts'
import SymptomsPage from '../../app/help/symptoms/page.tsx'
import WordsPage from '../../app/help/words/page.tsx'
import { parseConfig } from '../../gateway/config/load.ts'
import { CALIBRATION_FORMULAS } from '../../lib/calibration/formulas.ts'
import { DRIFT_FORMULAS } from '../../lib/drift/formulas.ts'
import { NE43 } from '../../lib/quality/ne43.ts'
import { AGREEMENT_FORMULA } from '../../lib/verdicts/agreement-rule.ts'
import { FORMULAS } from '../../lib/verdicts/formulas.ts'
import { FAULT_IDS } from '../../shared/faults.ts'

const ROOT = new URL('../../', import.meta.url)
const HELP = new URL('app/help/', ROOT)

/** The words of a page, as a reader has them. */
function wordsOf(page: React.ReactElement): string {
  return renderToStaticMarkup(page)
    .replace(/<[^>]+>/g, ' ')
    .replace(/&#x27;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ')
}

/** Each symptom as its own piece of the page. */
const symptoms = () =>
  renderToStaticMarkup(<SymptomsPage />)
    .split('<article')
    .slice(2)

describe('the pages of Help', () => {
  it('are all in the list, and the list names none that is not there', () => {
    const folders = readdirSync(HELP, { withFileTypes: true })
      .filter((entry) => entry.isDirectory() && existsSync(new URL(`${entry.name}/page.tsx`, HELP)))
      .map(({ name }) => `/help/${name}`)
    expect(folders.sort()).toEqual(HELP_PAGES.map(({ path }) => path).sort())
  })

  it('show configs that the gateway takes as written', () => {
    expect(parseConfig(FIRST_CONNECTION, 'connect').config.zones[0]?.id).toBe('infeed')
    expect(parseConfig(FIRST_CONNECTION + OWN_LIMITS, 'limits').config.zones[0]?.limits).toMatchObject({
      side_difference_percent: { value: 5, source: 'set in the config' },
      noise_percent: { value: 0.8, source: 'sheet 4 of the line’s file' },
    })
    expect(parseConfig(FIRST_CONNECTION + SENDING_ON, 'many-lines').config.forward.mqtt?.topic).toBe('mill/line-1')
  })
})

describe('How each number is got', () => {
  const words = wordsOf(<FiguresPage />)

  it('has formula and source of every figure as the code tells them', () => {
    const all = { ...FORMULAS, agreement: AGREEMENT_FORMULA }
    for (const { formula, source } of [all, DRIFT_FORMULAS, CALIBRATION_FORMULAS].flatMap((one) =>
      Object.values(one),
    )) {
      expect(words).toContain(formula.replace(/\s+/g, ' '))
      expect(words).toContain(source.replace(/\s+/g, ' '))
    }
    for (const level of Object.values(NE43)) expect(words).toContain(`${level} mA`)
  })

  it('names files that are there', () => {
    const rows = [LIVE_ROWS, DRIFT_ROWS, CALIBRATION_ROWS].flatMap((one) => Object.values(one))
    for (const { code } of rows) expect(existsSync(new URL(code, ROOT)), code).toBe(true)
    for (const [, folder] of words.matchAll(/ (lib\/[a-z]+)[ .]/g))
      expect(existsSync(new URL(`${folder}/`, ROOT)), folder).toBe(true)
  })
})

describe('Limits', () => {
  it('shows every default of the config with its source', () => {
    const words = wordsOf(<LimitsPage />)
    const rows = [...runningRows(), ...verificationRows(), ...alarmRows(), ...keptRows()]
    expect(rows.length).toBeGreaterThan(45)
    for (const row of rows) {
      expect(
        row.every((cell) => cell !== ''),
        row[0],
      ).toBe(true)
      expect(words).toContain(row.join(' '))
    }
    // Three by hand, so that a broken generator cannot agree with itself.
    expect(words).toContain('side_difference_percent')
    expect(runningRows().map(([key, , value]) => [key, value])).toContainEqual(['noise_percent', '1 %'])
    expect(verificationRows().map(([key, , value]) => [key, value])).toContainEqual(['arrow_deg', '2°'])
    expect(alarmRows()).toContainEqual(['side_lost', 'A side without good data', 'high', '2 s', '5 s'])
  })

  it('refuses a key whose unit it does not know, instead of a number without a unit', () => {
    expect(() => unitOfKey('length_parsec')).toThrow(RangeError)
  })
})

describe('Symptoms', () => {
  it('has every cause that diagnosis knows under some symptom', () => {
    const under = symptoms().flatMap((one) => /data-faults="([^"]*)"/.exec(one)?.[1]?.split(' ') ?? [])
    expect(FAULT_IDS.filter((id) => !under.includes(id))).toEqual([])
  })

  it('tells of each what it may be, what to look at first, what settles it and where', () => {
    expect(symptoms().length).toBeGreaterThanOrEqual(15)
    for (const one of symptoms())
      for (const part of ['It may be', 'Look first at', 'What settles it', 'Where'])
        expect(one).toContain(`<dt>${part}`)
  })

  it('has a caution wherever hands, weights or meters come near the machine', () => {
    const near = /[Pp]ush|weight|by hand|inclinometer|[Ii]nsulation|[Ss]wap the cells|clamp/
    const without = symptoms().filter((one) => near.test(one) && !one.includes('data-testid="caution"'))
    expect(without.map((one) => /<h3[^>]*>([^<]+)/.exec(one)?.[1])).toEqual([])
  })
})

describe('Words', () => {
  it('has each word once, and those that a newcomer asks for first', () => {
    const ids = [...renderToStaticMarkup(<WordsPage />).matchAll(/<div id="([^"]+)"/g)].map(([, id]) => id)
    expect(new Set(ids).size).toBe(ids.length)
    expect(ids).toEqual(
      expect.arrayContaining([
        'resultant',
        'force-factor',
        'line-of-pull',
        'side-difference',
        'load-arrow',
        'live-zero',
      ]),
    )
  })
})

describe('sizes in words', () => {
  it('are rounded to what a sizing on paper is worth', () => {
    expect([41_472_000, 133_056_000, 48_565_440_000_000, 999].map(bytesInWords)).toEqual([
      '41 MB',
      '133 MB',
      '49 TB',
      '999 bytes',
    ])
    expect([3400, 3_400_000].map(rateInWords)).toEqual(['27 kbit/s', '27 Mbit/s'])
  })
})
