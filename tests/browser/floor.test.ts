import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { PAGES } from '../../app/_ui/shell/pages.ts'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import { missing, titled } from '../integration/support/installed.ts'
import { type LibmodbusPeer, startLibmodbusServer } from '../integration/support/peers.ts'
import { axeViolations, layoutShift, openBrowser, openPage, overflow, textOf } from './support/pages.ts'

/** On the floor of the hall: from five metres, through dust and glare, with gloves, a keyboard or a screen reader. */
const noPeer = missing('gcc', 'libmodbus')
const WITHIN = { timeout: 60_000 }
const EVERY_PAGE = [...PAGES.map(({ path }) => path), '/large', '/alarms']

let browser: Browser
let server: LibmodbusPeer
let gateway: GatewayProcess
beforeAll(async () => {
  browser = await openBrowser()
  if (noPeer !== null) return
  // 250 N and 275 N; see live.test.ts.
  server = await startLibmodbusServer({ mode: 'tcp', values: { 0: 12_000, 1: 12_800 } })
  gateway = await startGatewayProcess(twoCells(tcpDevice(server.port)))
})
afterAll(async () => {
  await browser?.close()
  await gateway?.stop()
  await server?.stop()
})

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function open(path: string, options = {}) {
  const watched = await openPage(browser, gateway.address + path, options)
  ends.push(() => watched.page.context().close())
  return watched
}

const shows = (page: Page, testId: string, words: RegExp) =>
  page.waitForFunction(
    ([id, source]) => new RegExp(source ?? '').test(document.querySelector(`[data-testid="${id}"]`)?.textContent ?? ''),
    [testId, words.source],
    WITHIN,
  )

describe.skipIf(noPeer !== null)(titled('Large figures', noPeer), () => {
  it('show both sides, their sum and their difference with ± and unit, high enough to be read at 5 m', async () => {
    const { page, complaints } = await open('/large', { viewport: { width: 1280, height: 800 } })
    await shows(page, 'large-drive_side', /^Drive side250[\d.]*±/)
    await shows(page, 'large-operator_side', /^Operator side275[\d.]*±/)
    await shows(page, 'large-total', /525[\d.]*±/)
    await shows(page, 'large-side-difference', /4\.76±\s.*\s%.*(inside|undecided).*limit ±10\s%/)
    // 16 minutes of arc at 5 m are 23 mm, a sixth of the height of a 10-inch screen; digits are 0.72 of the font size.
    const share = await page.evaluate(() => {
      const number = document.querySelector('[data-testid="large-drive_side"] p')
      return (0.72 * Number.parseFloat(getComputedStyle(number as Element).fontSize)) / innerHeight
    })
    expect(share).toBeGreaterThan(1 / 6)
    expect(await overflow(page)).toBeLessThanOrEqual(0)
    expect(complaints).toEqual([])
  })

  it('cut no figure off, however narrow the screen', async () => {
    for (const viewport of [
      { width: 390, height: 844 },
      { width: 1024, height: 600 },
      { width: 844, height: 390 },
    ]) {
      const { page } = await open('/large', { viewport })
      await shows(page, 'large-total', /525/)
      const cut = await page.evaluate(() =>
        [...document.querySelectorAll('[data-testid="large"] p')]
          .filter((p) => p.scrollWidth > p.clientWidth + 1)
          .map((p) => p.textContent),
      )
      expect(cut, `${viewport.width}`).toEqual([])
      expect(await overflow(page)).toBeLessThanOrEqual(0)
    }
  })

  it('ask for the screen to stay on, and again when the page is back in sight', async () => {
    const { page } = await open('/large')
    await page.addInitScript(() => {
      const asked: string[] = []
      Object.assign(window, { asked })
      const wakeLock = {
        request: async (type: string) =>
          asked.push(type) && Object.assign(new EventTarget(), { release: async () => {} }),
      }
      Object.defineProperty(navigator, 'wakeLock', { value: wakeLock })
    })
    await page.reload()
    await page.getByText('The screen stays on.').waitFor(WITHIN)
    await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')))
    await page.waitForFunction(() => (window as unknown as { asked: string[] }).asked.length >= 2, null, WITHIN)
  })

  it('are no numbers once there are no data', async () => {
    const other = await startLibmodbusServer({ mode: 'tcp', values: { 0: 12_000, 1: 12_800 } })
    const line = await startGatewayProcess(twoCells(tcpDevice(other.port)))
    ends.push(() => line.stop())
    const watched = await openPage(browser, `${line.address}/large`)
    ends.push(() => watched.page.context().close())
    await shows(watched.page, 'large-drive_side', /250/)
    await other.stop()
    for (const key of ['drive_side', 'operator_side', 'total', 'side-difference'])
      await shows(watched.page, `large-${key}`, /unknown/)
    expect(await textOf(watched.page, 'large-drive_side')).not.toMatch(/\d/)
  })
})

describe.skipIf(noPeer !== null)(titled('The page as an app', noPeer), () => {
  it('has a manifest with icons that are there, and starts on its own', async () => {
    const { page } = await open('/')
    const href = await page.locator('link[rel="manifest"]').getAttribute('href')
    const manifest = await (await fetch(new URL(href ?? '', gateway.address))).json()
    expect(manifest).toMatchObject({ display: 'standalone', start_url: '/', name: 'Evenpull' })
    for (const { src, type } of manifest.icons) {
      const icon = await fetch(new URL(src, gateway.address))
      expect(icon.status, src).toBe(200)
      expect(icon.headers.get('content-type'), src).toContain(type)
    }
  })
})

describe.skipIf(noPeer !== null)(titled('High contrast', noPeer), () => {
  it.each(['light', 'dark'] as const)(
    '%s: every page stands 7 to 1 (WCAG 2.2, 1.4.6) and axe finds nothing',
    async (colorScheme) => {
      const { page } = await open('/', { colorScheme, contrast: 'more', viewport: { width: 1024, height: 768 } })
      for (const path of EVERY_PAGE) {
        await page.goto(gateway.address + path)
        await page.waitForTimeout(1000)
        expect(await page.evaluate(() => document.documentElement.dataset.contrast)).toBe('high')
        expect(await axeViolations(page, ['color-contrast-enhanced']), path).toEqual([])
      }
    },
  )

  it('is the reader’s own choice, and stays', async () => {
    const { page } = await open('/')
    await page.getByRole('button', { name: 'View' }).click()
    await page.getByRole('radio', { name: 'High' }).check()
    await page.reload()
    expect(await page.evaluate(() => document.documentElement.dataset.contrast)).toBe('high')
  })
})

describe.skipIf(noPeer !== null)(titled('At 200 % zoom', noPeer), () => {
  it('nothing is cut off, nothing hangs over, nothing shifts', async () => {
    // What a screen of 1280 × 800 leaves (WCAG 2.2, 1.4.4 and 1.4.10).
    const { page } = await open('/', { viewport: { width: 640, height: 400 }, deviceScaleFactor: 2 })
    for (const path of EVERY_PAGE) {
      await page.goto(gateway.address + path)
      await page.waitForTimeout(1000)
      expect(await overflow(page), path).toBeLessThanOrEqual(0)
      expect(await layoutShift(page), path).toBeLessThan(0.1)
    }
  })
})

describe.skipIf(noPeer !== null)(titled('By keyboard alone', noPeer), () => {
  it('every page is walked through from top to bottom, each stop seen, and left again', {
    timeout: 120_000,
  }, async () => {
    const { page } = await open('/')
    for (const path of EVERY_PAGE) {
      await page.goto(gateway.address + path)
      await page.waitForTimeout(1000)
      const stops = await walk(page)
      expect(stops[0], path).toMatch(/To the content/)
      expect(stops.length, path).toBeGreaterThan(8)
    }
  })
})

/** Presses Tab until the page has been gone through; throws at a stop that cannot be seen or that goes back. */
async function walk(page: Page): Promise<string[]> {
  const stops: string[] = []
  for (let i = 0; i < 400; i++) {
    await page.keyboard.press('Tab')
    const stop = await page.evaluate(() => {
      const at = document.activeElement
      if (at === null || at === document.body) return null
      const all = (window as unknown as { walked?: Element[] }).walked ?? []
      Object.assign(window, { walked: [...all, at] })
      const before = all.at(-1)
      const isBack =
        before !== undefined && (before.compareDocumentPosition(at) & Node.DOCUMENT_POSITION_PRECEDING) !== 0
      const box = at.getBoundingClientRect()
      const label = at.closest('label')?.getBoundingClientRect()
      const name =
        (at.textContent ?? '').trim().slice(0, 40) || at.getAttribute('aria-label') || at.outerHTML.slice(0, 80)
      return {
        name,
        isBack,
        isSeen: Math.max(box.height, label?.height ?? 0) >= 1 && Math.max(box.width, label?.width ?? 0) >= 1,
        isAgain: all.includes(at),
      }
    })
    if (stop === null || stop.isAgain) return stops
    if (stop.isBack) throw new Error(`the focus goes back to ${stop.name}`)
    if (!stop.isSeen) throw new Error(`the focus is on something nobody sees: ${stop.name}`)
    stops.push(stop.name)
  }
  throw new Error('the focus does not come out of the page')
}
