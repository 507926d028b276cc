import type { Browser, BrowserContextOptions, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest'
import { UNTOLD } from '../../app/_language/current.ts'
import { PAGES } from '../../app/_ui/shell/pages.ts'
import { HELP_PAGES } from '../../app/help/_model/help-pages.ts'
import { COATER_DRAWING, demoConfig } from '../integration/support/demo-line.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import { type SimulatorProcess, startSimulatorProcess } from '../integration/support/simulator.ts'
import { layoutShift, openBrowser, openPage, overflow, textOf } from './support/pages.ts'

/** What a reader whose browser speaks German gets, on every page of the simulated line. */
vi.setConfig({ testTimeout: 300_000, hookTimeout: 120_000 })

const WITHIN = { timeout: 60_000 }
const NAMED = /^(Current-input module|Two-channel amplifier|Coater outfeed|Edge strip): /
const EVERY_PAGE = [...PAGES.map(({ path }) => path), '/large', '/alarms', ...HELP_PAGES.map(({ path }) => path)]

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

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

/** A page of a reader; collects every text that the catalogue did not cover. */
async function open(path: string, options: BrowserContextOptions = {}) {
  const watched = await openPage(browser, `${gateway.address}/manifest.webmanifest`, { locale: 'de-DE', ...options })
  ends.push(() => watched.page.context().close())
  await watched.page.addInitScript((name) => {
    const untold: string[] = []
    Object.assign(window, { untold })
    addEventListener(name, (event) => untold.push((event as CustomEvent<string>).detail))
  }, UNTOLD)
  await watched.page.goto(gateway.address + path)
  return watched
}

const untoldOf = (page: Page) => page.evaluate(() => (window as unknown as { untold: string[] }).untold)
const isTold = (page: Page, language: string) =>
  page.waitForFunction(
    (wanted) => document.documentElement.lang === wanted && document.documentElement.dataset.telling === undefined,
    language,
    WITHIN,
  )

/** Opens what is folded, so that its words are on the page too. */
async function unfold(page: Page): Promise<void> {
  await page.evaluate(() => {
    for (const details of document.querySelectorAll('details')) details.open = true
  })
  await page.waitForTimeout(500)
}

/** Words that are cut off by the box they stand in. */
const cutOff = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll('button, th, td, label, legend, h1, h2, h3, p, a, dt, dd')]
      .filter((element) => {
        const style = getComputedStyle(element)
        return (
          style.overflowX !== 'visible' && style.overflowX !== 'auto' && element.scrollWidth > element.clientWidth + 1
        )
      })
      .map((element) => `${element.tagName} ${element.className}: ${element.textContent?.slice(0, 60)}`)
      .filter((words) => !words.includes('heard-only')),
  )

describe('In German', () => {
  it('every page is German altogether, without complaints, and nothing jumps', async () => {
    const { page, complaints } = await open('/')
    for (const path of EVERY_PAGE) {
      await page.goto(gateway.address + path)
      await isTold(page, 'de')
      await page.waitForTimeout(1500)
      expect(await layoutShift(page), path).toBeLessThan(0.1)
      await unfold(page)
      // A line of the trail may be there before the names in it are; it is said anew when they come.
      const untold = (await untoldOf(page)).filter((text) => !NAMED.test(text))
      expect(untold, path).toEqual([])
      expect(await page.getByTestId('trail-event').allTextContents(), path).not.toContainEqual(
        expect.stringMatching(/there are data to judge|came into force|was started/),
      )
    }
    expect(complaints).toEqual([])
  })

  it('no word is cut off and nothing hangs over on a narrow screen', async () => {
    const { page } = await open('/', { viewport: { width: 390, height: 844 } })
    for (const path of EVERY_PAGE) {
      await page.goto(gateway.address + path)
      await isTold(page, 'de')
      await page.waitForTimeout(1000)
      expect(await overflow(page), path).toBeLessThanOrEqual(0)
      expect(await cutOff(page), path).toEqual([])
    }
  })

  it('numbers have a comma, what is typed may have either mark, and names stay as they are', async () => {
    const { page } = await open('/')
    await isTold(page, 'de')
    await page.waitForFunction(
      () => /\d,\d/.test(document.querySelector('[data-testid="side-value-drive_side"]')?.textContent ?? ''),
      null,
      WITHIN,
    )
    expect(await textOf(page, 'zone-chooser')).toContain('Coater outfeed')
    expect(await page.title()).toMatch(/^Live/)
    expect(await page.locator('a[href="#content"]').textContent()).toBe('Zum Inhalt')
    await page.goto(`${gateway.address}/geometry`)
    await isTold(page, 'de')
    expect(await page.title()).toMatch(/Geometrie · Evenpull/)
  })

  it('the choice is the reader’s own, and stays', async () => {
    const { page, complaints } = await open('/')
    await isTold(page, 'de')
    await page.getByRole('button', { name: 'Ansicht' }).click()
    // The page is mounted anew by the choice, the menu with it.
    await page.getByRole('radio', { name: 'English' }).click({ force: true })
    await isTold(page, 'en')
    await page.getByRole('button', { name: 'View' }).waitFor(WITHIN)
    await page.reload()
    await isTold(page, 'en')
    await page.getByRole('button', { name: 'View' }).click()
    await page.getByRole('radio', { name: /Comma/ }).click({ force: true })
    await page.waitForFunction(
      () => /\d,\d/.test(document.querySelector('[data-testid="side-value-drive_side"]')?.textContent ?? ''),
      null,
      WITHIN,
    )
    expect(complaints).toEqual([])
  })
})

describe('Without scripts', () => {
  it('the page says in English what it needs, and nothing is hidden', async () => {
    const context = await browser.newContext({ locale: 'de-DE', javaScriptEnabled: false })
    ends.push(() => context.close())
    const page = await context.newPage()
    await page.goto(gateway.address)
    expect(await page.locator('body').isVisible()).toBe(true)
    expect(await page.locator('noscript').textContent()).toContain('needs JavaScript')
  })
})
