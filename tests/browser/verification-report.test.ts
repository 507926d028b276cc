import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { recordReport } from '../../gateway/reports/record-report.ts'
import { valueWords } from '../../gateway/reports/words.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import { missing, titled } from '../integration/support/installed.ts'
import { captured, contextOf, recordOf, resultEntry } from '../verification/support/made-record.ts'
import { axeViolations, openBrowser, overflow, pagesOfPdf } from './support/pages.ts'

const HOSTILE = '<script>document.title="run"</script><img src=x onerror=alert(1)>"\'&\u202e'
const LONG = 'a note that goes on '.repeat(60)
const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
)
const PHOTO = 'c'.repeat(64)
const context = contextOf('install')
const forces = (drive: number, operator: number) => ({
  drive_side: { force: drive },
  operator_side: { force: operator },
})

const point = (tension: number, speed: number, factor: number) =>
  captured(context, 'point', forces(tension * factor, tension * factor * 1.02), {
    reference: { value: tension, u: 0.1 },
    speed: { value: speed, u: 0.001 },
    imbalance: { value: 1, u: 0.1 },
  })
const record = recordOf(
  context,
  `New cells ${HOSTILE}`,
  [
    resultEntry(context, 'paper.geometry', {}),
    resultEntry(context, 'paper.capacity', {}),
    resultEntry(context, 'fit.runout', { runout: 0.09 }, [], 'as-found'),
    resultEntry(context, 'fit.runout', { runout: 0.02 }, [], 'as-left', 2),
    {
      kind: 'photo',
      test: 'fit.runout',
      caption: `Dial ${HOSTILE}`,
      mediaType: 'image/png',
      bytes: PNG.length,
      sha256: PHOTO,
    },
    resultEntry(context, 'running.points', {}, [
      point(150, 1, 0.77),
      point(150, 3, 0.77),
      point(300, 1, 0.77),
      point(300, 3, 0.77),
    ]),
    { kind: 'not-done', test: 'fit.level', title: 'Roller level and parallel', reason: `no level at hand ${HOSTILE}` },
    { kind: 'note', test: null, text: LONG },
    { kind: 'correction', of: 3, text: 'It was 0.08.' },
    { kind: 'signature', name: HOSTILE.slice(0, 60) },
  ],
  'A. Fitter',
)
const earlier = recordOf(context, 'A year ago', [resultEntry(context, 'fit.runout', { runout: 0.05 })])
const page = recordReport({
  record,
  photos: new Map([[PHOTO, PNG]]),
  comparison: compareRecords(earlier, record),
  printedMs: 1_760_000_300_000,
})

let browser: Browser
let folder = ''
beforeAll(async () => {
  browser = await openBrowser()
  folder = mkdtempSync(join(tmpdir(), 'evenpull-report-'))
  writeFileSync(join(folder, 'report.html'), page)
})
afterAll(async () => {
  await browser?.close()
  rmSync(folder, { recursive: true, force: true })
})

async function opened(options = {}) {
  const watched = await browser.newContext({ offline: true, javaScriptEnabled: true, ...options })
  const sheet = await watched.newPage()
  const asked: string[] = []
  sheet.on('request', (request) => asked.push(request.url()))
  await sheet.goto(`file://${join(folder, 'report.html')}`)
  return { sheet, asked, close: () => watched.close() }
}

describe('the report of a record', () => {
  it('opens without any network, asks for nothing, and runs nothing that somebody typed', async () => {
    const { sheet, asked, close } = await opened()
    expect(asked.filter((url) => !url.startsWith('data:') && !url.startsWith('file:'))).toEqual([])
    expect(page).not.toMatch(/<script/i)
    expect(await sheet.title()).toContain('<script>')
    expect(await sheet.locator('img').count()).toBe(1)
    expect(await axeViolations(sheet)).toEqual([])
    await close()
  })

  it('says on its first page what was proven, what was not, what is undecided or not done, and that it is no certificate', () => {
    const first = page.slice(0, page.indexOf('Against an earlier record'))
    for (const words of ['Proven: inside', 'Not done', 'Does not apply', 'no level at hand', 'It is no certificate'])
      expect(first).toContain(words)
  })

  it('holds as found beside as left, corrections where they belong, and what changed since the earlier record', () => {
    const found = page.indexOf('as found, attempt 1')
    const left = page.indexOf('as left, attempt 2')
    expect(found).toBeGreaterThan(0)
    expect(left).toBeGreaterThan(found)
    expect(page.slice(found, left)).toContain('Corrected in entry 9')
    expect(page).toContain('Runout of the shell: Runout: 0.050 ± 0.010 mm before, 0.020 ± 0.010 mm after')
  })

  const noReader = missing('pdftotext')
  it.skipIf(noReader !== null).each([
    ['A4', { width: '210mm', height: '297mm' }],
    ['Letter', { width: '8.5in', height: '11in' }],
  ])(titled('prints on %s with every figure on it and nothing cut off', noReader), async (name, size) => {
    const { sheet, close } = await opened()
    await sheet.emulateMedia({ media: 'print' })
    const pdf = await sheet.pdf({
      ...size,
      preferCSSPageSize: false,
      margin: { top: '14mm', right: '14mm', bottom: '14mm', left: '14mm' },
    })
    await close()
    expect(pagesOfPdf(pdf.toString('latin1'))).toBeGreaterThan(2)
    const file = join(folder, `${name}.pdf`)
    writeFileSync(file, pdf)
    if (process.env.SHOTS !== undefined) writeFileSync(join(process.env.SHOTS, `report-${name}.pdf`), pdf)
    const { stdout, status } = spawnSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' })
    expect(status).toBe(0)
    const printed = stdout.replace(/\s+/g, '')
    for (const entry of record.entries) {
      if (entry.kind !== 'result') continue
      for (const figure of entry.result.figures) {
        // The number with its U: units and longer words may be parted at the end of a line.
        const [number = ''] = /^[-\d.]+( ± [\d.]+)?|^[a-z]+/.exec(valueWords(figure)) ?? []
        expect(printed.includes(number.replace(/\s+/g, '')), `${figure.id} ${figure.side}: ${number}`).toBe(true)
      }
    }
  })

  it.each([816, 794, 390])('is not wider than %i px', async (width) => {
    const { sheet, close } = await opened({ viewport: { width, height: 900 } })
    expect(await overflow(sheet)).toBeLessThanOrEqual(0)
    await close()
  })
})
