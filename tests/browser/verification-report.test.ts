import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { recordReport } from '../../gateway/reports/record-report.ts'
import { valueWords } from '../../gateway/reports/words.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import { missing, titled } from '../integration/support/installed.ts'
import { PHOTO, PNG, RECORD_TITLES, recordNamed } from '../verification/support/made-records.ts'
import { axeViolations, openBrowser, overflow, pagesOfPdf } from './support/pages.ts'

/** Width between the margins of 14 mm, CSS px of 1/96 inch, and the size of the sheet in points of 1/72 inch. */
const SHEETS = [
  { name: 'A4', paper: 'a4', width: ((210 - 28) / 25.4) * 96, points: [595.3, 841.9] },
  { name: 'Letter', paper: 'letter', width: ((215.9 - 28) / 25.4) * 96, points: [612, 792] },
] as const
const MARGIN_POINTS = (14 / 25.4) * 72

/** Compared with an earlier record. */
const AGAINST: ReadonlySet<string> = new Set(['hostile text', 'refused under long names'])
const recordOf = (title: string) => recordNamed(title)
const READERS = [
  {
    language: 'en',
    mark: '.',
    firstCaution: 'Nobody has to be at the machine',
    pageOf: (page: string) => `page ${page.replace('/', ' of ')}`,
  },
  {
    language: 'de',
    mark: ',',
    firstCaution: 'Niemand muss an der Maschine sein',
    pageOf: (page: string) => `Seite ${page.replace('/', ' von ')}`,
  },
] as const
type Choice = Pick<(typeof READERS)[number], 'language' | 'mark'>
const ENGLISH: Choice = { language: 'en', mark: '.' }

const pageOf = (title: string, paper: 'a4' | 'letter' | null = null, choice: Choice = ENGLISH): string => {
  const record = recordOf(title)
  const earlier = AGAINST.has(title) ? recordOf('long names') : null
  return recordReport({
    record,
    photos: new Map([[PHOTO, PNG]]),
    comparison: earlier === null ? null : compareRecords(earlier, record),
    printedMs: 1_760_000_300_000,
    timeZone: 'UTC',
    paper,
    choice: { language: choice.language, mark: choice.mark },
  })
}

let browser: Browser
let folder = ''
beforeAll(async () => {
  browser = await openBrowser()
  folder = mkdtempSync(join(tmpdir(), 'evenpull-report-'))
})
afterAll(async () => {
  await browser?.close()
  rmSync(folder, { recursive: true, force: true })
})

async function opened(html: string, options = {}) {
  const context = await browser.newContext({ offline: true, ...options })
  const sheet = await context.newPage()
  const asked: string[] = []
  const said: string[] = []
  sheet.on('request', (request) => asked.push(request.url()))
  sheet.on('console', (message) => said.push(message.text()))
  sheet.on('dialog', (dialog) => said.push(dialog.message()))
  writeFileSync(join(folder, 'report.html'), html)
  await sheet.goto(`file://${join(folder, 'report.html')}`)
  return { sheet, asked, said, close: () => context.close() }
}

/** Elements whose box ends beyond the width, but for what is hidden from the eye on purpose. */
const beyond = (sheet: Page, width: number): Promise<readonly string[]> =>
  sheet.evaluate(
    (most) =>
      [...document.querySelectorAll('main *')].flatMap((element) => {
        const { left, right, width: own } = element.getBoundingClientRect()
        const isCut = element.scrollWidth > element.clientWidth + 1 && getComputedStyle(element).overflowX !== 'visible'
        const isSeen = own > 1 && !(element instanceof SVGElement && element.tagName !== 'svg')
        return isSeen && (right > most + 1 || left < -1 || isCut)
          ? [`${element.tagName} ${element.className} ${left} to ${right}: ${element.textContent?.slice(0, 40)}`]
          : []
      }),
    width,
  )

describe('the report of a record', () => {
  it.each(['whole', 'hostile text'])(
    'opens without any network, asks for nothing and runs nothing: %s',
    async (title) => {
      const { sheet, asked, said, close } = await opened(pageOf(title))
      expect(asked.filter((url) => !url.startsWith('data:')).map((url) => url.slice(0, 8))).toEqual(['file:///'])
      expect(said).toEqual([])
      expect(await sheet.title()).toMatch(/: verification of /)
      const drawn = await sheet
        .locator('img')
        .evaluateAll((all) => all.map((img) => (img as HTMLImageElement).naturalWidth))
      expect(drawn).toEqual([1])
      expect(await axeViolations(sheet)).toEqual([])
      await close()
    },
  )

  const everyPage = RECORD_TITLES.flatMap((title) => READERS.map((reader) => ({ title, ...reader })))
  it.each(everyPage)(
    'is wider than neither a phone, a tablet nor a sheet of paper: $title, $language',
    async ({ title, ...choice }) => {
      const { sheet, close } = await opened(pageOf(title, null, choice), { viewport: { width: 390, height: 900 } })
      for (const width of [390, 1024]) {
        await sheet.setViewportSize({ width, height: 900 })
        expect(await overflow(sheet)).toBeLessThanOrEqual(0)
        expect(await beyond(sheet, width)).toEqual([])
      }
      await sheet.emulateMedia({ media: 'print' })
      for (const { width } of SHEETS) {
        await sheet.setViewportSize({ width: Math.floor(width), height: 900 })
        expect(await beyond(sheet, width)).toEqual([])
      }
      await close()
    },
  )

  const noReader = missing('pdftotext')
  const printed = SHEETS.flatMap((sheet) =>
    ['whole', 'long names', 'one cell', 'refused under long names'].flatMap((title) =>
      READERS.map((reader) => ({ ...sheet, title, ...reader })),
    ),
  )
  it.skipIf(noReader !== null).each(printed)(
    titled(
      'prints on $name with the summary on page one, every figure on it and no word cut off: $title, $language',
      noReader,
    ),
    async ({ title, name, paper, points, language, mark, firstCaution, pageOf: pageWords }) => {
      const { sheet, close } = await opened(pageOf(title, paper, { language, mark } as Choice))
      const pdf = await sheet.pdf({ preferCSSPageSize: true })
      await close()
      const file = join(folder, 'report.pdf')
      writeFileSync(file, pdf)
      if (process.env.SHOTS !== undefined)
        writeFileSync(join(process.env.SHOTS, `${title}-${name}-${language}.pdf`), pdf)
      const pages = textOf(file, []).split('\f').slice(0, -1)
      expect(pages).toHaveLength(pagesOfPdf(pdf.toString('latin1')))
      expect(pages[0]).toContain(recordOf(title).digest)
      expect(pages[1]).toContain(firstCaution)
      for (const [i, text] of pages.entries()) expect(text).toContain(pageWords(`${i + 1}/${pages.length}`))
      const all = pages.join('').replace(/\s+/g, '')
      for (const entry of recordOf(title).entries)
        for (const figure of entry.kind === 'result' ? entry.result.figures : [])
          if (language === 'en' || figure.answer === null)
            expect(all, figure.id).toContain(
              inReport(valueWords(language === 'en' ? figure : { ...figure, unit: '' }), language),
            )
      for (const { width, height, words } of boxesOf(file)) {
        expect(width).toBeCloseTo(points[0], -0.5)
        expect(height).toBeCloseTo(points[1], -0.5)
        expect(words.filter(({ from, to }) => from < MARGIN_POINTS - 1 || to > width - MARGIN_POINTS + 1)).toEqual([])
      }
    },
  )
})

/** A figure as it stands on paper, without blanks; its unit may be a word, so that another language is held to the number. */
const inReport = (figure: string, language: 'en' | 'de'): string => {
  const close = figure.replace(/\s+/g, '')
  return language === 'en' ? close : close.replace(/(\d)\.(\d)/g, '$1,$2').replace('notknown', 'nichtbekannt')
}

function textOf(file: string, options: readonly string[]): string {
  const { stdout, status } = spawnSync('pdftotext', [...options, file, '-'], { encoding: 'utf8', maxBuffer: 64e6 })
  expect(status).toBe(0)
  return stdout
}

/** Where poppler finds each word on each page, points. */
function boxesOf(file: string) {
  return textOf(file, ['-bbox'])
    .split('<page ')
    .slice(1)
    .map((page) => {
      const [, width, height] = /width="([\d.]+)" height="([\d.]+)"/.exec(page) ?? []
      const words = [...page.matchAll(/xMin="([\d.-]+)" yMin="[\d.-]+" xMax="([\d.-]+)" yMax="[\d.-]+">([^<]*)</g)]
      return {
        width: Number(width),
        height: Number(height),
        words: words.map(([, from, to, word]) => ({ word, from: Number(from), to: Number(to) })),
      }
    })
}
