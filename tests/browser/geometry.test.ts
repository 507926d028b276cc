import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { parse } from 'yaml'
import type { ConfigInput } from '../../shared/schemas/config.ts'
import type { GeometryConfigInput } from '../../shared/schemas/geometry.ts'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import {
  axeViolations,
  dragBy,
  layoutShift,
  openBrowser,
  openPage,
  overflow,
  textOf,
  type WatchedPage,
} from './support/pages.ts'

const PATH = '/geometry?zone=infeed'
const WITHIN = { timeout: 60_000 }

/** A quarter turn over the middle roller: in level, out straight down. By hand k = 2·sin 45° = 1.4142. */
const QUARTER: GeometryConfigInput = {
  rollers: {
    before: [{ name: 'before', x_mm: -500, y_mm: 0, diameter_mm: 100, turn: 'clockwise' }],
    measuring: { name: 'measuring', x_mm: 0, y_mm: 0, diameter_mm: 100, turn: 'clockwise' },
    after: [{ name: 'after', x_mm: 0, y_mm: -500, diameter_mm: 100, turn: 'clockwise' }],
  },
  runs_seen_from_operator_side: 'left to right',
  roller_mass_kg: 10,
  arrows_deg: { drive_side: -135, operator_side: -135 },
  tension: { low_n: 100, normal_n: 200, high_n: 300, fastest_m_min: 200 },
}

let browser: Browser
beforeAll(async () => {
  browser = await openBrowser()
})
afterAll(() => browser?.close())

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

/** A gateway whose amplifier does not answer: geometry needs no running web. */
async function gatewayWith(geometry: GeometryConfigInput | null): Promise<GatewayProcess> {
  const config = twoCells(tcpDevice(1))
  const zones = config.zones.map((zone) => (geometry === null ? zone : { ...zone, geometry }))
  const gateway = await startGatewayProcess({ ...config, zones })
  ends.push(() => gateway.stop())
  return gateway
}

async function open(gateway: GatewayProcess, path = PATH, options = {}): Promise<WatchedPage> {
  const watched = await openPage(browser, gateway.address + path, options)
  ends.push(() => watched.page.context().close())
  await watched.page.waitForSelector('[data-testid="geometry"], [data-testid="card"]', WITHIN)
  return watched
}

const holds = (page: Page, testId: string, wanted: string) =>
  page.waitForFunction(
    ([id, text]) => document.querySelector(`[data-testid="${id}"]`)?.textContent?.includes(text ?? '') === true,
    [testId, wanted],
    WITHIN,
  )

const typedIn = (page: Page, testId: string) => page.getByTestId(testId).inputValue()

describe('the Geometry page', () => {
  it('tells wrap, angle, force and signal of a quarter turn as worked out by hand', async () => {
    const { page, complaints } = await open(await gatewayWith(QUARTER))
    expect(await textOf(page, 'live-wrap')).toContain('90.0')
    // The pull of a web that arrives level and leaves downwards lies half way: 45°, down and upstream.
    expect(await textOf(page, 'angle-to-set')).toContain('45.0°from vertical, pointing down, leaning upstream')
    // Half of 1.4142 × 200 N = 141.4 N; 4 mA + 141.4 N ÷ 31.25 N/mA = 8.53 mA.
    expect(await textOf(page, 'expected-drive_side-normal')).toMatch(/^141\.4\s±.*8\.5\d\s±/)
    expect(complaints).toEqual([])
  })

  it('dragging a roller changes its coordinates, the wrap and the expected value; undo and redo bring them back and forth', async () => {
    const { page } = await open(await gatewayWith(QUARTER))
    const before = { wrap: await textOf(page, 'live-wrap'), expected: await textOf(page, 'live-drive_side') }
    await dragBy(page, 'roller-after-0', 120, 0)
    await page.waitForFunction(
      (was) => document.querySelector('[data-testid="live-wrap"]')?.textContent !== was,
      before.wrap,
    )
    const after = { wrap: await textOf(page, 'live-wrap'), expected: await textOf(page, 'live-drive_side') }
    expect(after.expected).not.toBe(before.expected)
    expect(Number(await typedIn(page, 'after-0-x_mm'))).toBeGreaterThan(50)
    expect(await textOf(page, 'save-state')).toContain('Unsaved changes')
    await page.keyboard.press('Control+z')
    await holds(page, 'live-wrap', before.wrap)
    expect(await typedIn(page, 'after-0-x_mm')).toBe('0')
    await page.getByTestId('redo').click()
    await holds(page, 'live-wrap', after.wrap)
    expect(await textOf(page, 'live-drive_side')).toBe(after.expected)
  })

  it('can be used by keyboard alone: a roller by 1 and 10 mm, an arrow by 0.1 and 1°, as it is seen', async () => {
    const { page } = await open(await gatewayWith(QUARTER))
    await page.getByTestId('roller-measuring-0').focus()
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('Shift+ArrowUp')
    expect(await typedIn(page, 'measuring-0-x_mm')).toBe('1')
    expect(await typedIn(page, 'measuring-0-y_mm')).toBe('10')
    await page.getByTestId('flip').click()
    expect(await textOf(page, 'view-name')).toContain('Seen from the drive side')
    await page.getByTestId('roller-measuring-0').focus()
    await page.keyboard.press('ArrowRight')
    expect(await typedIn(page, 'measuring-0-x_mm')).toBe('0')
    await page.getByTestId('arrow-operator_side').focus()
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('Shift+ArrowRight')
    expect(await typedIn(page, 'arrow-deg-operator_side')).toBe('-133.9')
    expect(await typedIn(page, 'arrow-deg-drive_side')).toBe('-135')
  })

  it('says what cannot be and what is risky in place, and tells no figure for the impossible', async () => {
    const { page } = await open(await gatewayWith(QUARTER))
    await page.getByTestId('arrow-deg-drive_side').fill('-130')
    await holds(page, 'layout-check', 'The arrow of the drive side is 5.0° off its target')
    await page.getByTestId('after-0-y_mm').fill('-80')
    await holds(page, 'layout-check', 'from measuring to after: they overlap by 20.0 mm')
    expect(await textOf(page, 'angle-to-set')).toContain('unknown')
    expect(await page.getByTestId('expected-table').count()).toBe(0)
    await page.getByTestId('after-0-y_mm').fill('-500')
    await page.getByTestId('measuring-0-turn').click()
    await holds(page, 'layout-check', 'This cannot be.')
    await page.getByTestId('measuring-0-turn').click()
    await page.getByTestId('before-0-y_mm').fill('x')
    expect(await page.getByText('This is not a number.').count()).toBe(1)
    await holds(page, 'live-wrap', '90.0')
  })

  it('opens a figure to its formula with the numbers put in, and its budget to a check by other means', async () => {
    const { page } = await open(await gatewayWith(QUARTER))
    const row = page.getByTestId('figure-force-factor')
    await row.getByRole('button').click()
    expect(await row.textContent()).toContain('sin(90.00°/2)')
    expect(await row.textContent()).toContain('= 1.4142')
    await page.getByRole('button', { name: 'Check by Monte Carlo' }).click()
    await holds(page, 'monte-carlo', 'The table agrees with it.')
  })

  it('loses nothing on a reload, and saves under a name as a revision of the file', async () => {
    const gateway = await gatewayWith(QUARTER)
    const { page } = await open(gateway)
    await page.getByTestId('after-0-x_mm').fill('40')
    await holds(page, 'save-state', 'Unsaved changes')
    await page.reload()
    await holds(page, 'save-state', 'found in this browser')
    expect(await typedIn(page, 'after-0-x_mm')).toBe('40')
    await page.getByTestId('save').click()
    expect(await page.getByText('Say who makes the change.').count()).toBe(1)
    await page.getByTestId('who').fill('A. Fitter')
    await page.getByTestId('save').click()
    await holds(page, 'save-state', 'Saved: revision')
    const written = parse(readFileSync(gateway.configPath, 'utf8')) as ConfigInput
    expect(written.zones[0]?.geometry).toEqual({
      ...QUARTER,
      rollers: { ...QUARTER.rollers, after: [{ ...QUARTER.rollers.after[0], x_mm: 40 }] },
    })
    const { revisions } = await gateway.get<{ revisions: { who: string | null }[] }>('/api/revisions')
    expect(revisions[0]?.who).toBe('A. Fitter')
    await page.reload()
    await holds(page, 'save-state', 'Saved: revision')
    expect(await typedIn(page, 'after-0-x_mm')).toBe('40')
  })

  it('a file changed meanwhile keeps what was typed, shows both, and saves after a choice', async () => {
    const gateway = await gatewayWith(QUARTER)
    const { page } = await open(gateway)
    await page.getByTestId('who').fill('A. Fitter')
    await page.getByTestId('after-0-x_mm').fill('40')
    const config = twoCells(tcpDevice(1))
    gateway.write({
      ...config,
      zones: config.zones.map((zone) => ({ ...zone, geometry: { ...QUARTER, roller_mass_kg: 12 } })),
    })
    await holds(page, 'conflict', 'The file was changed meanwhile')
    expect(await textOf(page, 'conflict')).toContain('roller_mass_kg1012')
    expect(await typedIn(page, 'after-0-x_mm')).toBe('40')
    await page.getByTestId('keep-mine').click()
    await page.getByTestId('save').click()
    await holds(page, 'save-state', 'Saved: revision')
    const written = parse(readFileSync(gateway.configPath, 'utf8')) as ConfigInput
    expect(written.zones[0]?.geometry).toMatchObject({ roller_mass_kg: 10, rollers: { after: [{ x_mm: 40 }] } })
  })

  it('a zone without geometry starts from a drawing that says it is neither saved nor measured', async () => {
    const { page } = await open(await gatewayWith(null))
    expect(await textOf(page, 'save-state')).toContain('not saved, not measured')
    expect(await page.getByTestId('save').isDisabled()).toBe(true)
  })
})

describe('the set-up card', () => {
  it('prints on exactly one page of A4 and of Letter, with both ends, both sides and the cautions', async () => {
    const { page } = await open(await gatewayWith(QUARTER), `${PATH}&card=1`)
    const text = await textOf(page, 'card')
    for (const part of [
      'Example plant · Line 1',
      'roller “measuring”',
      '45.0°',
      'locked out',
      'End clearance',
      'as found',
    ])
      expect(text).toContain(part)
    // Facing the operator side of a line that runs left to right the web runs to the right, from the other end to the left.
    expect(await page.getByTestId('end-operator_side').getAttribute('data-downstream')).toBe('right')
    expect(await page.getByTestId('end-drive_side').getAttribute('data-downstream')).toBe('left')
    const folder = mkdtempSync(join(tmpdir(), 'evenpull-card-'))
    try {
      for (const format of ['A4', 'Letter'] as const) {
        const path = join(folder, `${format}.pdf`)
        await page.pdf({ path, format, preferCSSPageSize: false })
        expect(pagesOf(readFileSync(path, 'latin1')), format).toBe(1)
      }
    } finally {
      rmSync(folder, { recursive: true, force: true })
    }
  })

  it('says on its face that a drawing is not saved', async () => {
    const { page } = await open(await gatewayWith(null))
    await page.getByTestId('open-card').click()
    await holds(page, 'card', 'NOT SAVED')
    await holds(page, 'card', 'Nobody has told the drawing')
  })
})

/** Pages of a PDF by its page objects (ISO 32000-1, 7.7.3.3). */
const pagesOf = (pdf: string): number => pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0

describe.each([1440, 1024, 390])('Geometry at %i px', (width) => {
  it.each(['light', 'dark'] as const)(
    '%s: no axe violation, no console error, nothing cut off, no layout shift, targets large enough',
    async (colorScheme) => {
      const gateway = await gatewayWith(QUARTER)
      for (const path of [PATH, `${PATH}&card=1`]) {
        const { page, complaints } = await open(gateway, path, { viewport: { width, height: 900 }, colorScheme })
        await page.waitForTimeout(1000)
        expect(await axeViolations(page), `${path}: axe`).toEqual([])
        expect(await overflow(page), `${path}: wider than the screen`).toBeLessThanOrEqual(0)
        expect(await layoutShift(page), `${path}: layout shift`).toBeLessThan(0.1)
        expect(await smallTargets(page), `${path}: targets under 44 px`).toEqual([])
        expect(complaints).toEqual([])
      }
    },
  )
})

/** What can be pressed and is smaller than a gloved finger needs. */
const smallTargets = (page: Page) =>
  page.evaluate(() =>
    [...document.querySelectorAll('main button, main select, main input:not([type="radio"]), main g[role]')]
      .filter((element) => {
        const { width, height } = element.getBoundingClientRect()
        return Math.min(width, height) < 43.5
      })
      .map((element) => element.outerHTML.slice(0, 120)),
  )
