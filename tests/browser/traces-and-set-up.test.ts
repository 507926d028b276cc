import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { type Browser, chromium, type Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { registerRows } from '../../lib/codec/register-rows.ts'
import { findBrowser } from '../support/needs.mjs'
import { type FedGateway, startFedGateway } from './support/fed-gateway.ts'
import { axeViolations } from './support/pages.ts'

const STATIC_ROOT = join(import.meta.dirname, '../../out')
const FLAGS = ['--headless', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking']
/** WCAG 2.2, 2.5.5 (enhanced): a gloved finger. Half a pixel for rounding. */
const LEAST_TARGET_PX = 43.5

let gateway: FedGateway
let browser: Browser
let page: Page
let troubles: string[]

beforeAll(async () => {
  const executablePath = findBrowser()
  if (executablePath === undefined) throw new Error('no browser: install chromium, or set CHROME_PATH')
  if (!existsSync(join(STATIC_ROOT, 'index.html'))) throw new Error('no page is built: run npm run build first')
  gateway = await startFedGateway({ port: 0, staticRoot: STATIC_ROOT, gaps: true, backlogSeconds: 120 })
  browser = await chromium.launch({ executablePath, args: FLAGS })
})
afterAll(async () => {
  await browser?.close()
  await gateway?.close()
})
beforeEach(async () => {
  troubles = []
  page = await browser.newPage({ viewport: { width: 1280, height: 900 } })
  page.on('pageerror', (error) => troubles.push(error.message))
  return () => page.close()
})

async function smallTargets(): Promise<string[]> {
  return page.locator('main :is(button, select, input, summary)').evaluateAll(
    (elements, least) =>
      elements
        .filter((e) => {
          // A tick box is hit by its words, too.
          const target = e.matches('[type=checkbox]') ? (e.closest('label') ?? e) : e
          return e.getClientRects().length > 0 && target.getBoundingClientRect().height < least
        })
        .map((e) => e.outerHTML.slice(0, 80)),
    LEAST_TARGET_PX,
  )
}

describe('traces', () => {
  const stage = () => page.getByTestId('trace-stage')
  const status = () => page.getByTestId('trace-status')

  async function openTraces(): Promise<void> {
    await page.goto(`${gateway.url}/?window=60`)
    // A gap of every kind lies in every minute of the made line: once listed, the backlog is drawn.
    await page.getByTestId('trace-flags').getByRole('button').first().waitFor()
    await stage().scrollIntoViewIfNeeded()
  }

  it('pause while live goes on, say how far behind, and come back', async () => {
    await openTraces()
    await expect.poll(() => status().textContent()).toBe('Live, last 1\u00a0min')
    await stage().focus()
    await page.keyboard.press('Space')
    await expect.poll(() => status().textContent()).toMatch(/^Paused at \d\d:\d\d:\d\d, \d+\ss behind/)
    await page.keyboard.press('Space')
    await expect.poll(() => status().textContent()).toBe('Live, last 1\u00a0min')
    expect(troubles).toEqual([])
  })

  it('zoom to a dragged range, and Escape brings the whole window back', async () => {
    await openTraces()
    const box = await stage().boundingBox()
    if (box === null) throw new Error('the traces are not on the page')
    await page.mouse.move(box.x + box.width * 0.4, box.y + 80)
    await page.mouse.down()
    await page.mouse.move(box.x + box.width * 0.6, box.y + 90, { steps: 6 })
    await page.mouse.up()
    await expect.poll(() => status().textContent()).toMatch(/Showing \d\d:\d\d:\d\d\.\d to/)
    await stage().focus()
    await page.keyboard.press('Escape')
    await expect.poll(() => status().textContent()).not.toMatch(/Showing/)
  })

  it('read values at two cursors by keyboard alone, with time and value differences', async () => {
    await openTraces()
    await stage().focus()
    await page.keyboard.press('Space')
    await page.keyboard.press('Home')
    for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowRight')
    await page.keyboard.press('a')
    for (let i = 0; i < 3; i++) await page.keyboard.press('Shift+ArrowRight')
    await page.keyboard.press('b')
    const readout = page.getByTestId('trace-readout')
    // 30 columns of 60 s over the width of the plot.
    await expect.poll(() => readout.locator('thead').textContent()).toMatch(/B − A\s*1\.\d{3}\ss/)
    await expect.poll(() => stage().getAttribute('aria-valuetext')).toMatch(/^\d\d:\d\d:\d\d\.\d+, drive side /)
    expect(new URL(page.url()).pathname).toBe('/')
  })

  it('say each gap in words and lead the cursor to it, where no number is shown', async () => {
    await openTraces()
    const gap = page
      .getByTestId('trace-flags')
      .getByRole('button', { name: /operator side, no value/ })
      .first()
    await gap.click()
    await expect.poll(() => status().getAttribute('data-mode')).toBe('paused')
    await expect.poll(() => stage().getAttribute('aria-valuetext')).toMatch(/operator side no value, /)
  })

  it('stand as a table too, a row a second, with "no data" in a gap', async () => {
    await openTraces()
    await page.getByText('The picture as a table, second by second').click()
    const rows = page.getByTestId('trace-table').locator('tbody tr')
    await expect.poll(() => rows.count()).toBeGreaterThanOrEqual(60)
    expect(await page.getByTestId('trace-table').getByText('no data').count()).toBeGreaterThan(0)
  })

  it('pass axe, with targets a glove can hit, wide and narrow', async () => {
    await openTraces()
    expect(await axeViolations(page)).toEqual([])
    await page.setViewportSize({ width: 390, height: 844 })
    expect(await axeViolations(page)).toEqual([])
    expect(await smallTargets()).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
    expect(troubles).toEqual([])
  })
})

describe('set-up', () => {
  /** 412.5 is 43CE4000 in IEEE 754 binary32. */
  const WORDS = [0x43ce, 0x4000, 20000, 0]

  async function openSetUp(): Promise<void> {
    await page.route('**/api/registers**', (route) => {
      const query = new URL(route.request().url()).searchParams
      const unitId = Number(query.get('unit_id'))
      if (unitId === 9) {
        const error = { code: 'EVP_DEVICE_TIMEOUT', message: 'no answer of unit 9', remedy: 'Check the line.' }
        return route.fulfill({ status: 504, json: error })
      }
      const rows = registerRows(WORDS, 4, 0)
      const view = { device: 'made-amplifier', unitId, function: 4, address: 0, count: 4, timeMs: Date.now() }
      return route.fulfill({ json: { ...view, roundTripMs: 1.5, rows } })
    })
    await page.goto(`${gateway.url}/set-up`)
    await page.getByTestId('device').waitFor()
  }

  it('answers whether it is connected, and to what', async () => {
    await openSetUp()
    await expect.poll(() => page.getByTestId('set-up-answer').textContent()).toMatch(/device answers; 3 of 3 channels/)
    expect(await page.getByTestId('device').textContent()).toMatch(/Modbus TCP, 127\.0\.0\.1:1502/)
    expect(await page.getByTestId('channel').count()).toBe(3)
  })

  it('says where figures are sent on to, and what waits, was taken or was lost', async () => {
    await openSetUp()
    const words = page.getByTestId('forward')
    await expect.poll(() => words.textContent()).toMatch(/^Sending onConnected\./)
    for (const told of [
      'broker.example:8883',
      'evenpull/example-plant-line-1',
      '2 messages, 8.1 kB',
      '52 301 messages',
    ])
      expect((await words.textContent())?.replace(/\s/g, ' ')).toContain(told)
  })

  it('says whether every sample is recorded, where, since when and how much is kept', async () => {
    await openSetUp()
    const said = await page.getByTestId('recorder').textContent()
    for (const word of ['Every sample is recorded.', '.evenpull/line-1.yaml.sqlite', '1.2 GB, 84.0 GB free', '60 days'])
      expect(said).toContain(word)
  })

  it('shows registers in every type and order, the plausible reading in full ink', async () => {
    await openSetUp()
    await page.getByRole('button', { name: 'Read once' }).click()
    const first = page.getByTestId('register-table').locator('tbody tr').first()
    await expect.poll(() => first.getByText('412.5', { exact: true }).getAttribute('data-plausible')).toBe('true')
    expect(await first.locator('td').count()).toBe(2 + 4 + 12)
  })

  it('keeps what was typed and the last table when a read is refused, and says what to do', async () => {
    await openSetUp()
    await page.getByRole('button', { name: 'Read once' }).click()
    await page.getByTestId('register-table').waitFor()
    await page.getByLabel('Unit id').fill('9')
    await page.getByRole('button', { name: 'Read once' }).click()
    await expect
      .poll(() => page.getByTestId('register-outcome').getByRole('alert').textContent())
      .toMatch(/no answer of unit 9.*Check the line/)
    expect(await page.getByLabel('Unit id').inputValue()).toBe('9')
    expect(await page.getByTestId('register-outcome').textContent()).toMatch(/Still shown, from before/)
    await page.getByLabel('How many').fill('900')
    await page.getByRole('button', { name: 'Read once' }).click()
    await expect.poll(() => page.getByTestId('register-form').textContent()).toMatch(/whole number from 1 to 60/)
    expect(await page.getByLabel('How many').inputValue()).toBe('900')
  })

  it('passes axe in both themes, with targets a glove can hit, and scrolls sideways only in its tables', async () => {
    await openSetUp()
    await page.getByRole('button', { name: 'Read once' }).click()
    await page.getByTestId('register-table').waitFor()
    for (const theme of ['light', 'dark']) {
      await page.evaluate((name) => {
        document.documentElement.dataset.theme = name
      }, theme)
      expect(await axeViolations(page)).toEqual([])
    }
    await page.setViewportSize({ width: 390, height: 844 })
    expect(await smallTargets()).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
    expect(troubles).toEqual([])
  })
})
