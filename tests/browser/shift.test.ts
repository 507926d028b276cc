import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { startGatewayProcess } from '../integration/support/gateway.ts'
import {
  axeViolations,
  layoutShift,
  openBrowser,
  openPage,
  overflow,
  pagesOfPdf,
  smallTargets,
  textOf,
  type WatchedPage,
} from './support/pages.ts'
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
const pathOf = (more = '') => `/shift?zone=infeed&from=${iso(shift.keptFromMs)}&to=${iso(shift.keptToMs)}${more}`

async function open(path = pathOf(), options = {}): Promise<WatchedPage> {
  const watched = await openPage(browser, shift.gateway.address + path, options)
  ends.push(() => watched.page.context().close())
  await watched.page.waitForSelector('[data-testid="shift"], [data-testid="summary"]', WITHIN)
  return watched
}

const source = (page: Page, wanted: string) =>
  page.waitForSelector(`[data-testid="shift-status"][data-source="${wanted}"]`, WITHIN)

const holds = (page: Page, testId: string, wanted: string) =>
  page.waitForFunction(
    ([id, text]) => document.querySelector(`[data-testid="${id}"]`)?.textContent?.includes(text ?? '') === true,
    [testId, wanted],
    WITHIN,
  )

/** The shown stretch as the table of the picture tells it: mean of the drive side, row by row. */
async function driveSide(page: Page): Promise<number[]> {
  await page.getByText('The picture as a table').click()
  const cells = await page.getByTestId('shift-table').locator('tbody tr td:nth-child(2)').allTextContents()
  return cells.map((text) => Number.parseFloat(text)).filter((v) => !Number.isNaN(v))
}

/** What was asked of the history since the page was opened, in order. */
const asked = (page: Page): Promise<Record<string, number>[]> =>
  page.evaluate(() =>
    performance
      .getEntriesByType('resource')
      .map(({ name }) => new URL(name))
      .filter(({ pathname }) => pathname.endsWith('/history'))
      .map(({ searchParams }) => ({ from: Number(searchParams.get('from')), to: Number(searchParams.get('to')) })),
  )

describe('the whole shift on one axis', () => {
  it('draws what was recorded, and looking closer by keyboard goes on to every sample, which the address keeps', async () => {
    const { page, complaints } = await open()
    await source(page, 'roll-up')
    const means = await driveSide(page)
    // Running it reads (400 × (0.49 … 0.47)) + 1 N, stopped 1 N.
    expect(Math.max(...means)).toBeGreaterThan(190)
    expect(Math.max(...means)).toBeLessThan(200)
    expect(Math.min(...means)).toBeLessThan(2)
    const stage = page.getByTestId('shift-stage')
    await stage.focus()
    for (let i = 0; i < 6; i++) await page.keyboard.press('+')
    await source(page, 'samples')
    await page.waitForURL(/zoom=/, WITHIN)
    await page.reload()
    await source(page, 'samples')
    expect(await textOf(page, 'shift-status')).toContain('Every sample is drawn')
    await stage.focus()
    await page.keyboard.press('Escape')
    await source(page, 'roll-up')
    expect(complaints).toEqual([])
  })

  it('asks the store for just what is shown, once the hand rests, and keeps the picture meanwhile', async () => {
    const { page } = await open()
    await source(page, 'roll-up')
    const box = await page.getByTestId('shift-stage').boundingBox()
    if (box === null) throw new Error('the bands are not on the page')
    await page.mouse.move(box.x + box.width * 0.4, box.y + 60)
    await page.mouse.down()
    await page.mouse.move(box.x + box.width * 0.5, box.y + 60, { steps: 8 })
    await page.mouse.up()
    // The picture before it stands until the finer one is there.
    expect(await page.getByTestId('shift-status').getAttribute('data-source')).not.toBe('none')
    await page.waitForSelector('[data-testid="shift-status"]:has-text("Closer look")', WITHIN)
    await expect.poll(async () => (await asked(page)).length, WITHIN).toBeGreaterThan(1)
    await page.waitForSelector('[data-testid="shift-stage"][data-loading="false"]', WITHIN)
    const [whole, closer, ...more] = await asked(page)
    expect(more).toEqual([])
    const length = ({ from, to }: Record<string, number> = {}) => (to ?? 0) - (from ?? 0)
    expect(length(whole)).toBeGreaterThan((shift.keptToMs - shift.keptFromMs) * 0.99)
    expect(length(closer)).toBeLessThan((shift.keptToMs - shift.keptFromMs) / 4)
  })

  it('reads every band at the cursor with its unit, and no number where nothing was recorded', async () => {
    const { page } = await open()
    await source(page, 'roll-up')
    const stage = page.getByTestId('shift-stage')
    const place = async (share: number) => {
      const [box, area] = await stage.evaluate((element) => {
        const overlay = element.lastElementChild as HTMLElement
        const rect = element.getBoundingClientRect()
        return [
          { left: rect.left, top: rect.top },
          { left: Number.parseFloat(overlay.style.left), width: Number.parseFloat(overlay.style.width) },
        ]
      })
      await page.mouse.move((box.left ?? 0) + (area.left ?? 0) + share * (area.width ?? 0), (box.top ?? 0) + 80)
    }
    // The axis goes on a little beyond the shift, for the forecast.
    await place(0.5)
    await holds(page, 'shift-readout', 'side difference')
    await expect.poll(() => stage.getAttribute('aria-valuetext')).toMatch(/drive side \d+\.\d+\sN, operator side \d+/)
    await place((1.315 / 2) * (1 / 1.12))
    await expect.poll(() => stage.getAttribute('aria-valuetext')).toMatch(/drive side no value/)
  })

  it('followed, it grows with the clock of the gateway; stopped, the address holds its end', async () => {
    const { page } = await open(`/shift?zone=infeed&from=${iso(shift.keptToMs - 60_000)}`)
    expect(await page.getByTestId('follow').getAttribute('aria-pressed')).toBe('true')
    const ends = async () => (await asked(page)).map(({ to }) => to ?? 0)
    await expect.poll(async () => new Set(await ends()).size, WITHIN).toBeGreaterThan(1)
    const [first = 0, ...later] = await ends()
    for (const end of later) expect(end).toBeGreaterThan(first)
    await page.getByTestId('follow').click()
    await page.waitForURL(/[?&]to=/, WITHIN)
    expect(await page.getByTestId('follow').getAttribute('aria-pressed')).toBe('false')
  })

  it('offers the nearest stretch with data where the chosen one has none', async () => {
    const early = { from: iso(shift.keptFromMs - 86_400_000), to: iso(shift.keptFromMs - 82_800_000) }
    const { page } = await open(`/shift?zone=infeed&from=${early.from}&to=${early.to}`)
    await page.getByTestId('show-nearest').click()
    await source(page, 'roll-up')
    expect(new URL(page.url()).searchParams.get('from')).toContain(iso(shift.keptFromMs).slice(0, 16))
  })
})

describe('without a recorder', () => {
  it('says that nothing is kept and what to do, and a note stays in the browser', async () => {
    const gateway = await startGatewayProcess({ ...twoCells(tcpDevice(1)), recorder: { enabled: false } })
    ends.push(() => gateway.stop())
    const { page } = await openPage(browser, `${gateway.address}/shift?zone=infeed`)
    ends.push(() => page.context().close())
    await holds(page, 'recorder-state', 'Recording is off')
    await page.getByTestId('note-who').fill('A. Fitter')
    await page.getByTestId('note-text').fill('Seen while nothing was kept.')
    await page.getByTestId('note-add').click()
    await holds(page, 'notes-waiting', 'Kept in this browser')
  })
})

describe('what has moved', () => {
  it('judges the drift of the side difference that was played, and says what steady minutes it rests on', async () => {
    const { page } = await open()
    await page.waitForSelector('[data-testid="judged-drift-side_difference"][data-state="outside"]', WITHIN)
    // 2 × 0.01 of the sum an hour: 2 points/h against a limit of 0.3.
    expect(await textOf(page, 'value-drift-side_difference')).toMatch(/^(1\.9|2\.0)\d*\s*±.*points\/h$/)
    expect(await textOf(page, 'drifts')).toMatch(/From \d+ steady minutes of \d+ kept/)
  })

  it('lists the alarms of the zone and every transition of the shift', async () => {
    const { page } = await open()
    await page.getByTestId('alarm-list').waitFor(WITHIN)
    await page.getByTestId('event-list').locator('[data-kind="alarm"]').first().waitFor(WITHIN)
  })
})

describe('a note', () => {
  const write = async (page: Page, text: string) => {
    await page.getByTestId('note-who').fill('A. Fitter')
    await page.getByTestId('note-text').fill(text)
    await page.getByTestId('note-add').click()
  }

  it('is written at the cursor, stands in the trail and survives a reload', async () => {
    const { page } = await open()
    await source(page, 'roll-up')
    await page.getByTestId('shift-stage').focus()
    await page.keyboard.press('Home')
    for (let i = 0; i < 5; i++) await page.keyboard.press('Shift+ArrowRight')
    await page.keyboard.press('n')
    await holds(page, 'note-time', 'Note at 20')
    await write(page, 'New core, web threaded by hand.')
    await holds(page, 'event-list', 'New core, web threaded by hand.')
    await page.reload()
    await holds(page, 'event-list', 'New core, web threaded by hand.')
    const { events } = await shift.gateway.get<{ events: { timeMs: number }[] }>('/api/events?kind=note&limit=10')
    expect(events).toHaveLength(1)
    expect(events[0]?.timeMs).toBeLessThan(shift.keptFromMs + 600_000)
  })

  it('half written survives a reload; one the gateway cannot be told waits in the browser until it can', async () => {
    const { page } = await open()
    await page.getByTestId('note-text').fill('half a sen')
    await page.reload()
    await expect.poll(() => page.getByTestId('note-text').inputValue(), WITHIN).toBe('half a sen')
    await page.route('**/notes', (route) => route.abort('connectionrefused'))
    await write(page, 'Bearing warm to the hand.')
    await holds(page, 'notes-waiting', 'Bearing warm to the hand.')
    await page.reload()
    await holds(page, 'notes-waiting', 'Bearing warm to the hand.')
    await page.unroute('**/notes')
    await expect.poll(() => page.getByTestId('notes-waiting').count(), WITHIN).toBe(0)
    const { events } = await shift.gateway.get<{ events: { text: string }[] }>('/api/events?kind=note&limit=10')
    expect(events.filter(({ text }) => text.startsWith('Bearing'))).toHaveLength(1)
  })
})

describe('the hand-over baseline', () => {
  it('is named from what is shown, laid under the shift, and what changed beyond its ± is said in words', async () => {
    // The first half hour was right; the last is held against it.
    const zoom = `&zoom=${iso(shift.keptFromMs + 300_000)}~${iso(shift.keptFromMs + 2_400_000)}`
    const { page } = await open(pathOf(zoom))
    await source(page, 'roll-up')
    await page.getByTestId('baseline-who').fill('A. Fitter')
    await page.getByTestId('baseline-text').fill('As handed over')
    await page.getByTestId('baseline-add').click()
    await holds(page, 'compare', '“As handed over”')
    const late = iso(shift.keptToMs - 2_400_000)
    await page.goto(`${shift.gateway.address}/shift?zone=infeed&from=${late}&to=${iso(shift.keptToMs)}`)
    await page.getByRole('button', { name: 'Hand-over baseline' }).click()
    await page.waitForURL(/compare=baseline/, WITHIN)
    const changed = page.getByTestId('changes').locator('[data-state="changed"]', { hasText: 'Side difference' })
    await changed.waitFor(WITHIN)
    // About 1.3 h apart at 2 points/h.
    expect(await changed.textContent()).toMatch(/\+2\.\d+/)
    expect(await page.getByText('laid under this shift').count()).toBe(1)
  })
})

describe('the shift summary', () => {
  it('prints on at most two pages of A4 and of Letter, with facts, drifts, notes, gaps, a signature and what it is not', async () => {
    const { page } = await open(pathOf('&summary=1'))
    await holds(page, 'summary-drifts', 'Drift of the side difference')
    const text = await textOf(page, 'summary')
    for (const part of [
      'Shift summary: Infeed',
      'Example plant · Line 1',
      'Config in force',
      'Handed over by',
      'not a certificate',
    ])
      expect(text).toContain(part)
    expect(await textOf(page, 'summary-gaps')).toMatch(/drive side and operator side/)
    const folder = mkdtempSync(join(tmpdir(), 'evenpull-summary-'))
    try {
      for (const format of ['A4', 'Letter'] as const) {
        const path = join(folder, `${format}.pdf`)
        await page.pdf({ path, format, preferCSSPageSize: false })
        expect(pagesOfPdf(readFileSync(path, 'latin1')), format).toBeLessThanOrEqual(2)
      }
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })
})

describe.each([1440, 1024, 390])('Shift at %i px', (width) => {
  it.each(['light', 'dark'] as const)(
    '%s: no axe violation, no console error, nothing cut off, no layout shift, targets large enough',
    async (colorScheme) => {
      // Paper is light in either theme.
      for (const more of colorScheme === 'light' ? ['', '&summary=1'] : ['']) {
        const { page, complaints } = await open(pathOf(more), { viewport: { width, height: 900 }, colorScheme })
        if (more === '') await page.getByTestId('judged-drift-side_difference').waitFor(WITHIN)
        else await page.getByTestId('summary-drifts').waitFor(WITHIN)
        expect(await axeViolations(page), `${more}: axe`).toEqual([])
        expect(await overflow(page), `${more}: wider than the screen`).toBeLessThanOrEqual(0)
        expect(await layoutShift(page), `${more}: layout shift`).toBeLessThan(0.1)
        expect(await smallTargets(page), `${more}: targets under 44 px`).toEqual([])
        expect(complaints).toEqual([])
      }
    },
  )
})
