import { randomUUID } from 'node:crypto'
import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import { type InstallLine, startInstallLine } from '../integration/support/install-line.ts'
import { patientFetch } from '../integration/support/patient-fetch.ts'
import { axeViolations, openBrowser, openPage, overflow, textOf, textsOverlapping } from './support/pages.ts'

const WITHIN = { timeout: 60_000 }
let browser: Browser
let line: InstallLine
let earlier = ''
let later = ''

async function post<T>(path: string, body: object): Promise<T> {
  const reply = await patientFetch(`${line.address}${path}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ key: randomUUID(), who: 'A. Fitter', ...body }),
  })
  if (!reply.ok) throw new Error(await reply.text())
  return (await reply.json()) as T
}

async function recordWith(
  title: string,
  runouts: readonly (readonly [phase: string, value: number])[],
): Promise<string> {
  const { head } = await post<VerificationRecord>(`/api/zones/${line.zone}/verifications`, { title })
  const entries = `/api/verifications/${head.id}/entries`
  for (const [phase, runout] of runouts)
    await post(entries, { kind: 'result', test: 'fit.runout', phase, values: { runout }, captures: [] })
  await post(entries, { kind: 'result', test: 'fit.free-play', phase: 'as-left', captures: [], values: PLAY })
  return head.id
}
const PLAY = { 'free-play.drive_side': true, 'free-play.operator_side': true }

beforeAll(async () => {
  browser = await openBrowser()
  line = await startInstallLine()
  earlier = await recordWith('Hand-over', [['as-left', 0.02]])
  later = await recordWith('Return visit', [
    ['as-found', 0.09],
    ['as-left', 0.03],
  ])
})
afterAll(async () => {
  await line?.stop()
  await browser?.close()
})

const open = (query: string, options = {}) =>
  openPage(browser, `${line.address}/verification?zone=${line.zone}&record=${later}${query}`, options)

describe.each([1440, 1024, 390])('the list of records at %i px', (width) => {
  it('lays no text over another', async () => {
    const list = `${line.address}/verification?zone=${line.zone}`
    const { page } = await openPage(browser, list, { viewport: { width, height: 900 } })
    await page.getByTestId(`open-${later}`).waitFor(WITHIN)
    expect(await textsOverlapping(page)).toEqual([])
    await page.context().close()
  })
})

describe('a record against an earlier one', () => {
  it('tells what changed on return apart from what is left now, and the report says the same', async () => {
    const { page, complaints } = await open('')
    await page.getByTestId('compare-with').selectOption(earlier, WITHIN)
    await page.getByTestId('compared-on-return').waitFor(WITHIN)
    expect(await page.getByTestId('compared-on-return').getByTestId('changed-count').textContent()).toBe(
      '1 changed beyond the uncertainty of both.',
    )
    // By hand: 0.09 − 0.02 with U = √2 × 2 × 0.005 mm.
    expect(await textOf(page, 'compared-on-return')).toContain('0.070\u00a0±\u00a00.014\u00a0mm')
    expect(await page.getByTestId('compared-now').getByTestId('changed-count').textContent()).toBe(
      'Nothing changed beyond the uncertainty of both.',
    )
    expect(await page.getByTestId('compared-now').locator('summary').first().textContent()).toBe('3 not told apart')
    expect(new URL(page.url()).searchParams.get('compare')).toBe(earlier)
    const href = await page.getByTestId('report-link').getAttribute('href')
    const report = await (await patientFetch(line.address + href)).text()
    expect(report).toContain('Against <q translate="no">Hand-over</q>')
    expect(complaints).toEqual([])
    await page.context().close()
  })

  it.each([
    [1440, 'light'],
    [390, 'dark'],
  ] as const)('fits %i px, %s, and nothing in it is in the way of a screen reader', async (width, colorScheme) => {
    const { page, complaints } = await open(`&compare=${earlier}`, { viewport: { width, height: 900 }, colorScheme })
    await page.getByTestId('compared-now').waitFor(WITHIN)
    for (const summary of await page.locator('[data-testid="compare-records"] summary').all()) await summary.click()
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    expect(await axeViolations(page)).toEqual([])
    if (process.env.SHOTS !== undefined)
      await page.screenshot({ path: `${process.env.SHOTS}/compare-${width}-${colorScheme}.png`, fullPage: true })
    expect(complaints).toEqual([])
    await page.context().close()
  })

  it('says so where the earlier record is not there', async () => {
    const { page } = await open(`&compare=${randomUUID()}`)
    await page
      .getByTestId('compare-records')
      .getByText(/no verification record/)
      .waitFor(WITHIN)
    await page.context().close()
  })
})
