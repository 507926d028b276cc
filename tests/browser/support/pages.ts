import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { findBrowser } from '../../support/needs.mjs'

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

const FLAGS = [
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** Headless Chromium: CHROME_PATH, or what the machine has. */
export async function openBrowser(): Promise<Browser> {
  const executablePath = findBrowser()
  if (executablePath === undefined) throw new Error('no browser: set CHROME_PATH')
  const sandbox = process.getuid?.() === 0 ? ['--no-sandbox'] : []
  return chromium.launch({ executablePath, args: [...FLAGS, ...sandbox] })
}

export interface WatchedPage {
  readonly page: Page
  /** What the console and the page complained of; network errors of a gateway that was stopped on purpose are told apart. */
  readonly complaints: string[]
}

const LOST_CONNECTION = /WebSocket connection to|ERR_CONNECTION_REFUSED|ERR_EMPTY_RESPONSE|ERR_CONNECTION_RESET/

export async function openPage(
  browser: Browser,
  url: string,
  options: BrowserContextOptions = {},
): Promise<WatchedPage> {
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 }, ...options })
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('console', (message) => {
    if (message.type() === 'error' && !LOST_CONNECTION.test(message.text())) complaints.push(message.text())
  })
  page.on('pageerror', (error) => complaints.push(error.message))
  await page.goto(url)
  return { page, complaints }
}

/** Whole text of the elements with this test id. */
export const textOf = async (page: Page, testId: string): Promise<string> =>
  (await page.getByTestId(testId).first().textContent())?.trim() ?? ''

/** What must not hold a figure once its data are gone; a reason in words may hold digits elsewhere. */
const FIGURES = [
  '[data-testid="side-value-drive_side"]',
  '[data-testid="side-value-operator_side"]',
  '[data-testid="total"][data-state="good"]',
  '[data-testid="value-side-difference"]',
  '[data-testid="value-noise-drive_side"]',
  '[data-testid="value-noise-operator_side"]',
  '[data-testid="beam-end-drive_side"]:not([data-state="unknown"])',
  '[data-testid="beam-end-operator_side"]:not([data-state="unknown"])',
].join(',')

/** Figures that stand on the page, as text. */
export function figuresStanding(page: Page): Promise<string[]> {
  return page.evaluate((figures) => {
    const texts = [...document.querySelectorAll(figures)].map((element) => element.textContent ?? '')
    return texts.filter((text) => /\d/.test(text))
  }, FIGURES)
}

/** Resolves when no figure stands any more, to how long that took as the page itself saw it, ms. */
export function untilNoFigure(page: Page): Promise<number> {
  return page.evaluate(
    (figures) =>
      new Promise<number>((resolve) => {
        const started = performance.now()
        const look = () => {
          const standing = [...document.querySelectorAll(figures)].some((element) =>
            /\d/.test(element.textContent ?? ''),
          )
          if (standing) setTimeout(look, 20)
          else resolve(performance.now() - started)
        }
        look()
      }),
    FIGURES,
  )
}

/** Drags a drawn roller by so many CSS px. */
export async function dragBy(page: Page, testId: string, dx: number, dy: number): Promise<void> {
  const box = await page.getByTestId(testId).locator('circle').first().boundingBox()
  if (box === null) throw new Error(`${testId} is not drawn`)
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  await page.mouse.move(x, y)
  await page.mouse.down()
  await page.mouse.move(x + dx / 2, y + dy / 2, { steps: 4 })
  await page.mouse.move(x + dx, y + dy, { steps: 4 })
  await page.mouse.up()
}

/** What axe finds against a page: rule and the elements. Rules that axe leaves off by itself can be asked for. */
export async function axeViolations(page: Page, more: readonly string[] = []): Promise<string[]> {
  await page.evaluate(AXE)
  return page.evaluate(async (rules) => {
    const { axe } = window as unknown as {
      axe: { run(options: object): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> }
    }
    const result = await axe.run({ rules: Object.fromEntries(rules.map((rule) => [rule, { enabled: true }])) })
    return result.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 120)).join(' | ')}`)
  }, more)
}

/** Cumulative layout shift since the page was opened, as the browser counts it (0.1 is the web's "good"). */
export const layoutShift = (page: Page) =>
  page.evaluate(
    () =>
      new Promise<number>((resolve) => {
        let sum = 0
        const observer = new PerformanceObserver((list) => {
          for (const entry of list.getEntries() as (PerformanceEntry & { value: number; hadRecentInput: boolean })[])
            if (!entry.hadRecentInput) sum += entry.value
        })
        observer.observe({ type: 'layout-shift', buffered: true })
        setTimeout(() => resolve(sum), 300)
      }),
  )

/** Resolves to what a page that is wider than its screen hangs over by, CSS px. */
export const overflow = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)

/** Pages of a PDF by its page objects (ISO 32000-1, 7.7.3.3). */
export const pagesOfPdf = (pdf: string): number => pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0

/** What can be pressed and is smaller than a gloved finger needs (WCAG 2.2, 2.5.5; half a pixel for rounding). */
export const smallTargets = (page: Page): Promise<string[]> =>
  page.evaluate(() =>
    [
      ...document.querySelectorAll(
        'main :is(button, select, input:not([type="radio"], [type="checkbox"]), textarea, summary)',
      ),
    ]
      .filter((element) => element.getClientRects().length > 0 && element.getBoundingClientRect().height < 43.5)
      .map((element) => element.outerHTML.slice(0, 120)),
  )

/** What can be pressed and holds two texts that lie over one another, by the boxes of their lines. */
export const textsOverlapping = (page: Page): Promise<string[]> =>
  page.evaluate(() => {
    const linesOf = (element: Element): DOMRect[] => {
      const range = document.createRange()
      range.selectNodeContents(element)
      return [...range.getClientRects()]
    }
    const meet = (a: DOMRect, b: DOMRect): boolean =>
      Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
      Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1
    const isOver = (element: Element): boolean => {
      const parts = [...element.children].map(linesOf)
      return parts.some((one, i) => parts.slice(i + 1).some((other) => one.some((a) => other.some((b) => meet(a, b)))))
    }
    return [...document.querySelectorAll('main :is(button, a, summary)')]
      .filter(isOver)
      .map((element) => element.outerHTML.slice(0, 200))
  })
