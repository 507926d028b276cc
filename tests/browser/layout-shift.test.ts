import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import { layoutShift, openBrowser, openPage } from './support/pages.ts'

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

describe.each([390, 600, 800])('at %i px', (width) => {
  it.each(['/', '/geometry'])(
    '%s stands still while the link, the data and the devices come to be said',
    async (path) => {
      const { page } = await openPage(browser, gateway.address + path, { viewport: { width, height: 900 } })
      await page.getByTestId('devices').waitFor()
      await page.getByTestId('data-age').or(page.locator('h1')).first().waitFor()
      // A wait of its own: what comes late is what moves the rest.
      await page.waitForTimeout(800)
      expect(await layoutShift(page)).toBeLessThan(0.05)
      await page.context().close()
    },
  )
})
