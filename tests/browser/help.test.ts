import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { HELP_PAGES } from '../../app/help/_model/help-pages.ts'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import {
  axeViolations,
  layoutShift,
  openBrowser,
  openPage,
  overflow,
  pagesOfPdf,
  smallTargets,
} from './support/pages.ts'

const EVERY = ['/help', ...HELP_PAGES.map(({ path }) => path)]

let browser: Browser
let gateway: GatewayProcess
beforeAll(async () => {
  browser = await openBrowser()
  gateway = await startGatewayProcess(twoCells(tcpDevice(1)))
})
afterAll(async () => {
  await browser?.close()
  await gateway?.stop()
})

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function open(path: string, options = {}) {
  const watched = await openPage(browser, gateway.address + path, options)
  ends.push(() => watched.page.context().close())
  await watched.page.getByTestId('devices').waitFor()
  return watched
}

/** Presses Tab until the link of these words has the focus, then Enter. */
async function tabTo(page: Page, words: string): Promise<void> {
  for (let i = 0; i < 60; i += 1) {
    await page.keyboard.press('Tab')
    if ((await page.evaluate(() => document.activeElement?.textContent?.trim())) === words) {
      await page.keyboard.press('Enter')
      return
    }
  }
  throw new Error(`no way to “${words}” by Tab`)
}

describe('Help', () => {
  it('is reached from Live by keys alone: through the list of keys, and every page of it from the list beside it', async () => {
    const { page, complaints } = await open('/')
    await page.keyboard.press('?')
    await tabTo(page, 'Help')
    await page.waitForURL('**/help')
    for (const { path, title } of HELP_PAGES) {
      await tabTo(page, title)
      await page.waitForURL(`**${path}`)
      await page.getByRole('heading', { level: 1, name: title }).waitFor()
      // From the top again, as somebody who comes back to it.
      await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
    }
    expect(complaints).toEqual([])
  })

  it.each(EVERY)('%s is clean by axe, stands still, fits a phone, and has targets that a glove hits', async (path) => {
    const { page, complaints } = await open(path, { viewport: { width: 390, height: 844 } })
    expect(await layoutShift(page)).toBeLessThan(0.05)
    expect(await axeViolations(page)).toEqual([])
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    expect(await smallTargets(page)).toEqual([])
    expect(complaints).toEqual([])
  })

  it('has no dead link: every page that it names is there, and every place within it', async () => {
    const { page } = await open('/help')
    const links = new Set<string>()
    for (const path of EVERY) {
      await page.goto(gateway.address + path)
      for (const href of await page
        .locator('main a')
        .evaluateAll((all) => all.map((a) => (a as HTMLAnchorElement).href)))
        links.add(href)
    }
    expect(links.size).toBeGreaterThan(EVERY.length)
    for (const href of links) {
      const { origin, pathname, hash } = new URL(href)
      expect(origin, href).toBe(gateway.address)
      const answer = await fetch(origin + pathname)
      expect(answer.status, href).toBe(200)
      if (hash !== '') expect(await answer.text(), href).toContain(`id="${hash.slice(1)}"`)
    }
  })

  it('prints without its lists, and a command that is too long for the paper goes on below', async () => {
    const { page } = await open('/help/container')
    await page.emulateMedia({ media: 'print' })
    expect(await page.getByRole('navigation', { name: 'Pages of Help' }).isVisible()).toBe(false)
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    expect(
      await page.locator('pre').evaluateAll((all) => all.every((pre) => pre.scrollWidth <= pre.clientWidth + 1)),
    ).toBe(true)
    expect(pagesOfPdf((await page.pdf({ format: 'A4' })).toString('latin1'))).toBeLessThanOrEqual(3)
  })

  it('sizes a plant as it is typed, and says when a number cannot be', async () => {
    const { page } = await open('/help/many-lines')
    const words = () => page.getByTestId('sizing').textContent()
    // By hand: 12 gateways × (2 × 4 + 2) messages every 10 s.
    expect(await words()).toMatch(/Messages into the broker\s*12\/s/)
    await page.locator('input[name="lines"]').fill('1000')
    expect(await words()).toMatch(/Messages into the broker\s*1000\/s/)
    await page.locator('input[name="lines"]').fill('many')
    expect(await words()).toBe('One of the numbers is not within its bounds.')
    expect(await page.locator('input[name="lines"]').getAttribute('aria-invalid')).toBe('true')
  })
})
