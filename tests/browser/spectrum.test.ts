import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { COATER, COATER_DRAWING, demoConfig } from '../integration/support/demo-line.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from '../integration/support/simulator.ts'
import { axeViolations, layoutShift, openBrowser, openPage, overflow, textOf } from './support/pages.ts'

const WITHIN = { timeout: 60_000 }

let browser: Browser
let simulator: SimulatorProcess
let gateway: GatewayProcess
beforeAll(async () => {
  browser = await openBrowser()
  simulator = await startSimulatorProcess('demo')
  gateway = await startGatewayProcess(demoConfig(simulator, COATER_DRAWING))
})
afterAll(async () => {
  await browser?.close()
  await gateway?.stop()
  await simulator?.stop()
})

const open = (options = {}) => openPage(browser, `${gateway.address}/?zone=${COATER}`, options)
const openPanel = (page: Page) => page.getByRole('button', { name: 'Open the spectrum' }).click()
const untilText = (page: Page, testId: string, text: string) =>
  page.waitForFunction(
    ([id, wanted]) => document.querySelector(`[data-testid="${id}"]`)?.textContent?.includes(wanted ?? '') === true,
    [testId, text],
    WITHIN,
  )

describe('the spectrum on Live', () => {
  it('is opened by the reader, names the turn of the roller on both sides with ± and unit, and follows', async () => {
    const { page, complaints } = await open()
    expect(await page.getByTestId('spectrum-plot').count()).toBe(0)
    await openPanel(page)
    // In one look, because the table is made anew every two seconds; the first spectra are of a few samples only.
    const row = await page.waitForFunction(
      (words) => {
        const found = [...document.querySelectorAll('[data-testid="spectrum-lines"] tbody tr')]
          .map((tr) => [...tr.children].map((cell) => cell.textContent ?? ''))
          .find((cells) => cells.at(-1)?.includes(words) && cells[2]?.includes('±') && cells[3]?.includes('±'))
        return found ?? false
      },
      'once a turn of the measuring roller',
      WITHIN,
    )
    const [where = '', , drive = '', operator = ''] = (await row.jsonValue()) as string[]
    // By hand: 240 m/min on 150 mm is 8.488 Hz.
    const [, place, U] = /^\d+ ([\d.]+)\u00a0±\u00a0([\d.]+)\u00a0Hz$/.exec(where) ?? []
    expect(Math.abs(Number(place) - 8.488)).toBeLessThan(2 * Number(U) + 0.02)
    for (const side of [drive, operator]) expect(side).toMatch(/^[\d.]+\u00a0±\u00a0[\d.]+\u00a0N$/)
    expect(await textOf(page, 'spectrum-status')).toMatch(/^Live: .* of samples, [\d.]+ a second; the newest .* old\.$/)
    expect(await textOf(page, 'spectrum-notes')).toMatch(/nothing faster than [\d.]+ Hz is seen as itself/)
    await page.getByRole('button', { name: 'Turns' }).click()
    expect(await page.getByTestId('spectrum-plot').textContent()).toContain('turns of the measuring roller')
    await page.getByRole('button', { name: 'Sum and difference' }).click()
    await untilText(page, 'spectrum-lines', 'Operator side less drive side')
    expect(complaints).toEqual([])
    await page.context().close()
  })

  it.each([
    [1440, 'light'],
    [1024, 'dark'],
    [390, 'light'],
    [390, 'dark'],
  ] as const)('at %i px, %s: nothing hangs over, nothing moves, and axe finds nothing', async (width, colorScheme) => {
    const { page, complaints } = await open({ viewport: { width, height: 900 }, colorScheme })
    await page.getByTestId('live').waitFor(WITHIN)
    await openPanel(page)
    await page.getByTestId('spectrum').scrollIntoViewIfNeeded()
    await untilText(page, 'spectrum-lines', 'measuring roller')
    const before = await layoutShift(page)
    // Two more spectra come meanwhile: the status tells each one's samples.
    const first = await textOf(page, 'spectrum-status')
    await page.waitForFunction(
      (text) => document.querySelector('[data-testid="spectrum-status"]')?.textContent?.trim() !== text,
      first,
      WITHIN,
    )
    expect((await layoutShift(page)) - before).toBeLessThan(0.01)
    expect(await overflow(page)).toBe(0)
    expect(await axeViolations(page)).toEqual([])
    const small = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('[data-testid="spectrum"] :is(button, summary)')]
        .map((one) => one.getBoundingClientRect())
        .filter(({ height, width: wide }) => height < 44 || wide < 44),
    )
    expect(small).toEqual([])
    expect(complaints).toEqual([])
    await page.context().close()
  })

  it('a silent amplifier leaves no number and no tone: why stands there instead', async () => {
    const { page } = await open()
    await openPanel(page)
    expect(await textOf(page, 'listening-state')).toBe('Off.')
    await page.getByRole('button', { name: 'Listen to the side difference' }).click()
    await untilText(page, 'listening-state', 'Sounding: ')
    await untilText(page, 'spectrum-lines', 'measuring roller')
    await simulator.ask({ do: 'silent', device: 'amplifier', on: true })
    await untilText(page, 'spectrum-plot', 'no good sample for')
    await untilText(page, 'listening-state', 'Silent: ')
    expect(await page.getByTestId('spectrum-lines').locator('tbody tr').count()).toBe(0)
    await simulator.ask({ do: 'silent', device: 'amplifier', on: false })
    await page.context().close()
  })
})
