/**
 * The Live page drawing two sides of ten minutes at 100 samples a second, in a headless browser:
 * time between frames, and the script that each frame costs. Without a graphics card everything is
 * drawn by the processor, so that a tablet with one does better, not worse.
 */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { type CDPSession, chromium, type Page } from 'playwright-core'
import { startFedGateway } from '../browser/support/fed-gateway.ts'
import { MADE_RATE_HZ } from '../browser/support/made-line.ts'
import { findBrowser } from '../support/needs.mjs'
import type { Measured } from './bench.ts'

const STATIC_ROOT = join(import.meta.dirname, '../../out')
const WINDOW_S = 600
const SETTLE_MS = 3000
const MEASURE_MS = 15_000
const FLAGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** Frames as the page saw them: when each began, and how long its drawing callbacks ran. */
interface Frames {
  readonly startsMs: number[]
  readonly scriptMs: number[]
}

/** Runs in the page before anything else: times every animation callback, summed by frame. */
function recordFrames(): void {
  const frames: Frames = { startsMs: [], scriptMs: [] }
  Object.assign(globalThis, { benchFrames: frames })
  const ask = globalThis.requestAnimationFrame.bind(globalThis)
  globalThis.requestAnimationFrame = (callback) =>
    ask((frameMs) => {
      const before = performance.now()
      callback(frameMs)
      const spent = performance.now() - before
      const last = frames.scriptMs.length - 1
      if (frames.startsMs[last] === frameMs) frames.scriptMs[last] = (frames.scriptMs[last] ?? 0) + spent
      else {
        frames.startsMs.push(frameMs)
        frames.scriptMs.push(spent)
      }
    })
}

async function recorded(page: Page): Promise<Frames> {
  return page.evaluate(() => (globalThis as unknown as { benchFrames: Frames }).benchFrames)
}

async function metric(session: CDPSession, name: string): Promise<number> {
  const { metrics } = await session.send('Performance.getMetrics')
  return metrics.find((m) => m.name === name)?.value ?? Number.NaN
}

/** The value under which the share `q` of the list lies. */
function quantile(list: readonly number[], q: number): number {
  const sorted = list.toSorted((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN
}

export async function run(): Promise<Measured[]> {
  const executablePath = findBrowser()
  if (executablePath === undefined) throw new Error('no browser: install chromium, or set CHROME_PATH')
  if (!existsSync(join(STATIC_ROOT, 'index.html'))) throw new Error('no page is built: run npm run build first')
  const gateway = await startFedGateway({ port: 0, staticRoot: STATIC_ROOT, gaps: true, backlogSeconds: WINDOW_S })
  const browser = await chromium.launch({ executablePath, args: FLAGS })
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } })
    await page.addInitScript(recordFrames)
    await page.goto(`${gateway.url}/?window=${WINDOW_S}`)
    // The whole backlog has arrived when there is ten minutes to look back through.
    await page.waitForFunction(
      (seconds) => Number(document.querySelector('[data-testid="trace-scrub"]')?.getAttribute('min')) <= 5 - seconds,
      WINDOW_S,
      { timeout: 60_000 },
    )
    await page.getByTestId('trace-stage').scrollIntoViewIfNeeded()
    return await measure(page)
  } finally {
    await browser.close()
    await gateway.close()
  }
}

async function measure(page: Page): Promise<Measured[]> {
  const session = await page.context().newCDPSession(page)
  // Time the page's thread was on a processor: a busy machine does not count against the page.
  await session.send('Performance.enable', { timeDomain: 'threadTicks' })
  await page.waitForTimeout(SETTLE_MS)
  const firstFrame = (await recorded(page)).startsMs.length
  const scriptBefore = await metric(session, 'ScriptDuration')
  await page.waitForTimeout(MEASURE_MS)
  const scriptAfter = await metric(session, 'ScriptDuration')
  const all = await recorded(page)
  const starts = all.startsMs.slice(firstFrame)
  const script = all.scriptMs.slice(firstFrame)
  const intervals = starts.slice(1).map((start, i) => start - (starts[i] ?? start))
  const what = `2 × ${(WINDOW_S * MADE_RATE_HZ).toLocaleString('en-GB')} points live, 1440 px wide`
  const seconds = ((starts.at(-1) ?? 0) - (starts[0] ?? 0)) / 1000
  return [
    { name: 'frames a second', value: intervals.length / seconds, unit: '1/s', note: `${what}; target 60` },
    { name: 'time between frames, p50', value: quantile(intervals, 0.5), unit: 'ms', note: what },
    { name: 'time between frames, p99', value: quantile(intervals, 0.99), unit: 'ms', note: what },
    { name: 'drawing script a frame, p50', value: quantile(script, 0.5), unit: 'ms', note: 'all animation callbacks' },
    {
      name: 'drawing script a frame, p99',
      value: quantile(script, 0.99),
      unit: 'ms',
      note: 'all animation callbacks; target under 4',
    },
    {
      name: 'all script of the page a frame, mean',
      value: ((scriptAfter - scriptBefore) * 1000) / intervals.length,
      unit: 'ms',
      note: 'with the socket, the figures and the page itself; target under 4',
    },
  ]
}
