import { readFileSync } from 'node:fs'
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { openBrowser, openPage } from './support/pages.ts'
import { type RecordedShift, startRecordedShift } from './support/recorded-shift.ts'

const WITHIN = { timeout: 60_000 }

let browser: Browser
let shift: RecordedShift
beforeAll(async () => {
  shift = await startRecordedShift()
  browser = await openBrowser()
})
afterAll(async () => {
  await browser?.close()
  await shift?.close()
})

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

const iso = (ms: number) => new Date(Math.round(ms)).toISOString()

async function open(fromMs: number, toMs: number): Promise<Page> {
  const path = `/shift?zone=infeed&from=${iso(fromMs)}&to=${iso(toMs)}`
  const { page } = await openPage(browser, shift.gateway.address + path, { acceptDownloads: true })
  ends.push(() => page.context().close())
  await page.getByTestId('export-begin').waitFor(WITHIN)
  return page
}

const says = (page: Page, words: string) => page.getByTestId('export-state').filter({ hasText: words }).waitFor(WITHIN)

describe('samples taken away from the Shift page', () => {
  it('are saved as a whole CSV of what is shown, and the page says how many rows', async () => {
    const page = await open(shift.keptFromMs, shift.keptFromMs + 600_000)
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByTestId('export-begin').click()])
    expect(download.suggestedFilename()).toMatch(/^infeed-.*\.csv$/)
    const lines = readFileSync(await download.path(), 'utf8')
      .trimEnd()
      .split('\r\n')
    const rows = lines.filter((line) => /^\d{4}-/.test(line)).length
    expect(rows).toBeGreaterThan(100)
    expect(lines.at(-1)).toBe(`# end: the file is whole, ${rows} rows`)
    // Under 10 000 no blank sets thousands apart.
    expect(rows).toBeLessThan(10_000)
    await says(page, `Done: ${rows} rows`)
  })

  it('are saved as Parquet, whose first and last four bytes are those of the format', async () => {
    const page = await open(shift.keptFromMs, shift.keptFromMs + 600_000)
    await page.getByTestId('export-format').selectOption('parquet')
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByTestId('export-begin').click()])
    const bytes = readFileSync(await download.path())
    // Apache Parquet, file format: magic number PAR1 at both ends.
    expect([bytes.subarray(0, 4).toString(), bytes.subarray(-4).toString()]).toEqual(['PAR1', 'PAR1'])
    await says(page, 'The file is whole')
  })

  it('are refused in words where nothing was recorded', async () => {
    const page = await open(shift.keptFromMs - 7_200_000, shift.keptFromMs - 3_600_000)
    await page.getByTestId('export-begin').click()
    await says(page, 'No file was made: nothing was recorded of zone infeed in this range.')
  })
})
