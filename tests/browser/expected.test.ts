import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import type { GeometryConfigInput } from '../../shared/schemas/geometry.ts'
import { COATER, COATER_DRAWING, demoConfig, WRONG_PATH } from '../integration/support/demo-line.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from '../integration/support/simulator.ts'
import { dragBy, openBrowser, openPage, textOf, type WatchedPage } from './support/pages.ts'

const WITHIN = { timeout: 60_000 }

let browser: Browser
beforeAll(async () => {
  browser = await openBrowser()
})
afterAll(() => browser?.close())

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function line(geometry: GeometryConfigInput | undefined): Promise<{
  simulator: SimulatorProcess
  gateway: GatewayProcess
  watched: WatchedPage
}> {
  const simulator = await startSimulatorProcess('demo')
  ends.push(() => simulator.stop())
  const gateway = await startGatewayProcess(demoConfig(simulator, geometry))
  ends.push(() => gateway.stop())
  const watched = await openPage(browser, `${gateway.address}/?zone=${COATER}`)
  ends.push(() => watched.page.context().close())
  return { simulator, gateway, watched }
}

const agreementIs = (page: Page, state: string) =>
  page.waitForSelector(`[data-testid="judged-agreement"][data-state="${state}"]`, WITHIN)

/** Height of the ghost's middle and of the measured bearing at the drive side, CSS px. */
const heights = (page: Page): Promise<{ ghost: number; measured: number }> =>
  page.evaluate(() => {
    const number = (part: string, name: string) =>
      Number(document.querySelector(`[data-part="${part}"]`)?.getAttribute(name) ?? Number.NaN)
    return { ghost: number('ghost-line', 'y1'), measured: number('bearing-drive_side', 'cy') }
  })

describe('expected against measured on the Live page', () => {
  it('draws the ghost beam where the measured one is, and both turn when a wrong path is written', async () => {
    const { simulator, gateway, watched } = await line(COATER_DRAWING)
    const { page, complaints } = watched
    await agreementIs(page, 'inside')
    expect(await textOf(page, 'agreement-note')).toMatch(/% of expected, from the reference channel, En = /)
    expect(await page.getByTestId('candidates').count()).toBe(0)
    await page.waitForSelector('[data-testid="ghost"]:not([display])', { ...WITHIN, state: 'attached' })
    const right = await heights(page)
    // On an axis of 300 px to 200 N: 5 % of 125 N are ten pixels, the 11 % of the wrong path twenty.
    expect(Math.abs(right.ghost - right.measured)).toBeLessThan(10)
    expect(await textOf(page, 'expected-drive_side')).toMatch(/\s±\s.*\sN \(.*\smV\/V\), inside$/)

    // The first of the judged rows, before the side difference.
    const rows = await page
      .locator('[data-testid^="judged-"]')
      .evaluateAll((all) => all.map((row) => row.dataset.testid))
    expect(rows.slice(0, 2)).toEqual(['judged-agreement', 'judged-side-difference'])

    gateway.write(demoConfig(simulator, WRONG_PATH))
    await agreementIs(page, 'outside')
    await page.waitForSelector('[data-testid="candidates"]', WITHIN)
    expect(await textOf(page, 'candidates')).toContain('chill roller passed on the other side')
    const link = page.getByTestId('candidates').getByRole('link')
    expect(await link.getAttribute('href')).toContain(`/geometry?zone=${COATER}`)
    const wrong = await heights(page)
    expect(Math.abs(wrong.ghost - wrong.measured)).toBeGreaterThan(14)

    gateway.write(demoConfig(simulator, COATER_DRAWING))
    await agreementIs(page, 'inside')
    expect(await page.getByTestId('candidates').count()).toBe(0)
    expect(complaints).toEqual([])
  })

  it('turns its verdict when a roller is dragged on the Geometry page and saved', async () => {
    const { gateway, watched } = await line(COATER_DRAWING)
    const { page } = watched
    await agreementIs(page, 'inside')
    await page.goto(`${gateway.address}/geometry?zone=${COATER}`)
    await page.waitForSelector('[data-testid="geometry"]', WITHIN)
    const before = { wrap: await textOf(page, 'live-wrap'), expected: await textOf(page, 'live-drive_side') }
    // The roller after, from under the measuring roller to far above: the wrap shrinks by tens of degrees.
    await dragBy(page, 'roller-after-0', 0, -150)
    await page.waitForFunction(
      (was) => document.querySelector('[data-testid="live-wrap"]')?.textContent !== was,
      before.wrap,
    )
    expect(await textOf(page, 'live-drive_side')).not.toBe(before.expected)
    await page.getByTestId('who').fill('A. Fitter')
    await page.getByTestId('save').click()
    await page.waitForFunction(
      () => document.querySelector('[data-testid="save-state"]')?.textContent?.includes('Saved') === true,
      null,
      WITHIN,
    )
    await page.goto(`${gateway.address}/?zone=${COATER}`)
    await agreementIs(page, 'outside')
  })

  it('opens the budget of the agreement: inputs with their part, largest first', async () => {
    const { watched } = await line(COATER_DRAWING)
    const { page } = watched
    await agreementIs(page, 'inside')
    const row = page.getByTestId('judged-agreement')
    await row.getByRole('button').click()
    const heads = await row.locator('thead th').allTextContents()
    expect(heads).toEqual(['Input', 'Value', 'Standard uncertainty u', 'Its part of u', 'Where u is from'])
    const parts = await row.locator('tbody tr td:nth-last-child(2)').allTextContents()
    const numbers = parts.map((part) => Number.parseFloat(part)).filter(Number.isFinite)
    expect(numbers.length).toBeGreaterThan(3)
    const lines = numbers.slice(0, -1)
    expect(lines).toEqual(lines.toSorted((a, b) => b - a))
  })

  it('shows no ghost and no agreement once the reference is gone: unknown, with the reason', async () => {
    const { simulator, watched } = await line(COATER_DRAWING)
    const { page } = watched
    await agreementIs(page, 'inside')
    await simulator.ask({ do: 'force', device: 'amplifier', register: 'set_tension', value: 'NaN' })
    await agreementIs(page, 'unknown')
    expect(await textOf(page, 'judged-agreement')).toContain('The reference gives no good sample')
    expect(await page.locator('[data-testid="ghost"]').getAttribute('display')).toBe('none')
  })

  it('invites to enter the geometry where there is none, and judges no agreement', async () => {
    const { watched } = await line(undefined)
    const { page } = watched
    await page.waitForSelector('[data-testid="judged-side-difference"][data-state="inside"]', WITHIN)
    const link = page.getByTestId('no-geometry').getByRole('link', { name: 'Enter the geometry' })
    expect(await link.getAttribute('href')).toContain(`/geometry?zone=${COATER}`)
    expect(await page.getByTestId('judged-agreement').count()).toBe(0)
    expect(await page.locator('[data-testid="ghost"]').getAttribute('display')).toBe('none')
  })
})
