import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import { missing, titled } from '../integration/support/installed.ts'
import { type LibmodbusPeer, startLibmodbusServer } from '../integration/support/peers.ts'
import {
  axeViolations,
  figuresStanding,
  layoutShift,
  openBrowser,
  openPage,
  overflow,
  textOf,
  untilNoFigure,
  type WatchedPage,
} from './support/pages.ts'

const noPeer = missing('gcc', 'libmodbus')
// By hand: (12 − 4) mA × 31.25 N/mA = 250 N and (12.8 − 4) × 31.25 = 275 N.
const REGISTERS = { 0: 12_000, 1: 12_800 }
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

interface Line {
  readonly server: LibmodbusPeer
  readonly gateway: GatewayProcess
}

/** An independent Modbus server, the gateway as a process, both as a user would run them. */
async function line(): Promise<Line> {
  const server = await startLibmodbusServer({ mode: 'tcp', values: REGISTERS })
  ends.push(() => server.stop())
  const gateway = await startGatewayProcess(twoCells(tcpDevice(server.port)))
  ends.push(() => gateway.stop())
  return { server, gateway }
}

async function open(address: string, options = {}): Promise<WatchedPage> {
  const watched = await openPage(browser, address, options)
  ends.push(() => watched.page.context().close())
  return watched
}

const sideShows = (page: Page, side: string, text: string) =>
  page.waitForFunction(
    ([id, wanted]) =>
      document.querySelector(`[data-testid="side-value-${id}"]`)?.textContent?.includes(wanted ?? '') === true,
    [side, text],
    WITHIN,
  )

describe('the Live page on a running gateway', () => {
  it.skipIf(noPeer !== null)(
    titled('shows the values the server was given, and follows them when they change', noPeer),
    async () => {
      const { server, gateway } = await line()
      const { page, complaints } = await open(gateway.address)
      await sideShows(page, 'drive_side', '250')
      await sideShows(page, 'operator_side', '275')
      expect(await textOf(page, 'value-side-difference')).toMatch(/^4\.76 ± /)
      await server.set(0, 13_000)
      await server.set(1, 13_000)
      await page.waitForFunction(() => document.body.textContent?.includes('281.3'), null, WITHIN)
      expect(complaints).toEqual([])
    },
  )

  it.skipIf(noPeer !== null)(titled('draws both traces, and they move', noPeer), async () => {
    const { server, gateway } = await line()
    const { page } = await open(gateway.address)
    await sideShows(page, 'drive_side', '250')
    await server.set(0, 14_000)
    await server.set(1, 15_000)
    const table = page.getByTestId('trace-table')
    await table.locator('summary').click()
    await page.waitForFunction(
      () => {
        document.querySelector<HTMLButtonElement>('[data-testid="trace-table"] button')?.click()
        const text = document.querySelector('[data-testid="trace-table"] tbody')?.textContent ?? ''
        // 14 mA is 312.5 N, 15 mA is 343.75 N: before and after, on both sides.
        return ['250', '275', '312.5', '343.8'].every((force) => text.includes(force))
      },
      null,
      WITHIN,
    )
    const inked = await page.evaluate(() => {
      const canvas = document.querySelector<HTMLCanvasElement>('[data-testid="trace-plot"] canvas')
      const pixels = canvas?.getContext('2d')?.getImageData(0, 0, canvas.width, canvas.height).data ?? []
      const colours = new Set<string>()
      for (let i = 0; i < pixels.length; i += 4)
        if ((pixels[i + 3] ?? 0) > 200) colours.add(`${pixels[i]},${pixels[i + 1]},${pixels[i + 2]}`)
      return [...colours]
    })
    // The two Okabe–Ito hues of the light theme.
    expect(inked).toContain('0,114,178')
    expect(inked).toContain('213,94,0')
  })

  it.skipIf(noPeer !== null)(
    titled('leaves no number standing within 2 s of a device dying, and heals when it returns', noPeer),
    async () => {
      const { server, gateway } = await line()
      const { page, complaints } = await open(gateway.address)
      await sideShows(page, 'drive_side', '250')
      await server.stop()
      const tookMs = await untilNoFigure(page)
      console.log(`device killed: no figure after ${Math.round(tookMs)} ms`)
      expect(tookMs).toBeLessThan(2000)
      await page.waitForFunction(
        () => document.querySelector('[data-testid="devices"]')?.textContent?.includes('does not answer'),
        null,
        WITHIN,
      )
      expect(await figuresStanding(page)).toEqual([])
      // The link is well and the data are not; the age told is that of the last good sample, not of the gaps since.
      expect(await textOf(page, 'connection')).toContain('Connected to the gateway.')
      const said = (testId: string, words: RegExp) =>
        page.waitForFunction(
          ([id, source]) =>
            new RegExp(source ?? '').test(document.querySelector(`[data-testid="${id}"]`)?.textContent ?? ''),
          [testId, words.source],
          WITHIN,
        )
      await said('data-age', /^No data for ([4-9]\.\d|\d\d)\ss\.$/)
      await said('newest-drive_side', /not usable; last usable one ([4-9]\.\d|\d\d)\ss ago$/)
      await said('trace-flags', /to now, .*drive side and operator side|to now, .*all signals/)
      const outage = page.getByTestId('trace-flags').getByText('the device did not answer')
      expect(await outage.count()).toBe(1)
      const back = await startLibmodbusServer({ mode: 'tcp', port: server.port, values: { 0: 14_000, 1: 14_000 } })
      ends.push(() => back.stop())
      await sideShows(page, 'drive_side', '312.5')
      await sideShows(page, 'operator_side', '312.5')
      expect(complaints).toEqual([])
    },
  )

  it.skipIf(noPeer !== null)(
    titled('shows a broken wire in words and no number on that side, while the other goes on', noPeer),
    async () => {
      const { server, gateway } = await line()
      const { page } = await open(gateway.address)
      await sideShows(page, 'operator_side', '275')
      await server.set(1, 3500)
      await page.waitForFunction(
        () =>
          document.querySelector('[data-testid="side-value-operator_side"]')?.getAttribute('data-state') === 'unknown',
        null,
        WITHIN,
      )
      expect(await textOf(page, 'side-value-operator_side')).not.toMatch(/\d/)
      expect((await page.locator('section[data-side="operator_side"]').textContent())?.toLowerCase()).toContain('wire')
      await sideShows(page, 'drive_side', '250')
      // The mean of both sides stands until the last good sample is stale, half a second later.
      await page.locator('[data-testid="judged-side-difference"][data-state="unknown"]').waitFor(WITHIN)
      expect(await textOf(page, 'value-side-difference')).not.toMatch(/\d/)
    },
  )

  it.skipIf(noPeer !== null)(
    titled('says at once that the gateway is gone, leaves no number, and heals when it is back', noPeer),
    async () => {
      const server = await startLibmodbusServer({ mode: 'tcp', values: REGISTERS })
      ends.push(() => server.stop())
      const config = twoCells(tcpDevice(server.port))
      const first = await startGatewayProcess(config)
      const { page, complaints } = await open(first.address)
      await sideShows(page, 'drive_side', '250')
      await first.stop()
      const tookMs = await untilNoFigure(page)
      console.log(`gateway stopped: no figure after ${Math.round(tookMs)} ms`)
      expect(tookMs).toBeLessThan(2000)
      expect(await page.getByTestId('connection').getAttribute('data-phase')).toBe('lost')
      const again = await startGatewayProcess(config, Number(new URL(first.address).port))
      ends.push(() => again.stop())
      await sideShows(page, 'drive_side', '250')
      expect(complaints).toEqual([])
    },
  )

  it.skipIf(noPeer !== null)(
    titled('shows a refused edit with line and column while the old config keeps running', noPeer),
    async () => {
      const { server, gateway } = await line()
      const { page } = await open(gateway.address)
      await sideShows(page, 'drive_side', '250')
      const config = twoCells(tcpDevice(server.port))
      gateway.write(JSON.stringify(config, null, 2).replace('"gain"', '"gian"'))
      const banner = page.getByTestId('config-refused')
      await banner.waitFor(WITHIN)
      expect(await banner.textContent()).toMatch(/gain/)
      expect(await banner.textContent()).toMatch(/\d+:\d+|line \d+/)
      await sideShows(page, 'drive_side', '250')
      gateway.write(config)
      await banner.waitFor({ state: 'detached', ...WITHIN })
    },
  )
})

describe.each([1440, 1024, 390])('pages at %i px', (width) => {
  describe.each(['light', 'dark'] as const)('%s', (colorScheme) => {
    it.skipIf(noPeer !== null)(
      titled('have no axe violation, no console error, nothing cut off and no layout shift', noPeer),
      async () => {
        const { gateway } = await line()
        const { page, complaints } = await open(gateway.address, { viewport: { width, height: 900 }, colorScheme })
        await sideShows(page, 'drive_side', '250')
        for (const path of ['/', '/set-up']) {
          await page.goto(gateway.address + path)
          await page.waitForTimeout(1500)
          expect(await axeViolations(page), `${path}: axe`).toEqual([])
          expect(await overflow(page), `${path}: wider than the screen`).toBeLessThanOrEqual(0)
          expect(await layoutShift(page), `${path}: layout shift`).toBeLessThan(0.1)
        }
        expect(complaints).toEqual([])
      },
    )
  })
})
