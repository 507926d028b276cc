import { existsSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Browser, chromium, type Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { findBrowser } from '../support/needs.mjs'
import { type FedGateway, startFedGateway } from './support/fed-gateway.ts'

const OUT = fileURLToPath(new URL('../../out', import.meta.url))
const pages = existsSync(OUT) ? readdirSync(OUT).filter((name) => name.endsWith('.html')) : []

/** What a browser, the judge of the policy, makes of a page with every kind of inline code. */
const MADE_PAGE = `<!doctype html>
<title>made</title>
<style>#a { color: rgb(1, 2, 3) }</style>
<p id="a">a</p>
<p id="b" style="color:rgb(4,5,6);content:&quot;x&quot;">b</p>
<p id="c">c</p>
<script>window.ran = ['own']</script>
<script>
document.getElementById('c').style.color = 'rgb(7, 8, 9)'
const injected = document.createElement('script')
injected.textContent = "window.ran.push('injected')"
document.body.append(injected)
try { window.ran.push(new Function("return 'eval'")()) } catch {}
const styled = document.createElement('p')
styled.id = 'd'
styled.setAttribute('style', 'color:rgb(9,9,9)')
document.body.append(styled)
</script>
`

/** zod asks once whether it may compile its checks, with an empty Function; refused, it goes on without. */
const ASKED_FOR_EVAL = 'script-src eval'

let browser: Browser
const gateways: FedGateway[] = []
const folders: string[] = []

async function gateway(staticRoot: string): Promise<FedGateway> {
  const started = await startFedGateway({ port: 0, staticRoot, gaps: false, backlogSeconds: 5 })
  gateways.push(started)
  return started
}

beforeAll(async () => {
  const executablePath = findBrowser()
  if (executablePath === undefined) throw new Error('no browser: set CHROME_PATH')
  browser = await chromium.launch({ executablePath, args: process.getuid?.() === 0 ? ['--no-sandbox'] : [] })
})
afterAll(async () => {
  await browser.close()
  for (const started of gateways) await started.close()
  for (const folder of folders) rmSync(folder, { recursive: true, force: true })
})

/** Everything the browser blocked on a page, from before its first script on. */
async function watchViolations(page: Page): Promise<() => Promise<string[]>> {
  await page.addInitScript(() => {
    const blocked: string[] = []
    Object.assign(window, { blocked })
    document.addEventListener('securitypolicyviolation', (e) => blocked.push(`${e.effectiveDirective} ${e.blockedURI}`))
  })
  return () => page.evaluate(() => (window as unknown as { blocked: string[] }).blocked)
}

describe('the content security policy, judged by a browser', () => {
  it('runs what was in the file when it was built, and nothing that comes later', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'evenpull-policy-'))
    folders.push(folder)
    writeFileSync(join(folder, 'index.html'), MADE_PAGE)
    const { url } = await gateway(folder)
    const page = await browser.newPage()
    const violations = await watchViolations(page)
    await page.goto(url)
    expect(await page.evaluate(() => (window as unknown as { ran: string[] }).ran)).toEqual(['own'])
    const colour = (id: string) =>
      page.evaluate((i) => getComputedStyle(document.getElementById(i) as Element).color, id)
    expect([await colour('a'), await colour('b'), await colour('c')]).toEqual([
      'rgb(1, 2, 3)',
      'rgb(4, 5, 6)',
      'rgb(7, 8, 9)',
    ])
    expect(await colour('d')).not.toBe('rgb(9, 9, 9)')
    expect((await violations()).toSorted()).toEqual([
      'script-src eval',
      'script-src-elem inline',
      'style-src-attr inline',
    ])
    await page.close()
  })

  it.skipIf(pages.length === 0).each(pages.length === 0 ? ['(skipped: the dashboard is not built)'] : pages)(
    'breaks nothing on the built page %s: it comes alive and the browser blocks nothing',
    async (name) => {
      const { url } = await gateway(OUT)
      const page = await browser.newPage()
      const violations = await watchViolations(page)
      const socket = page.waitForEvent('websocket')
      await page.goto(`${url}/${name.replace(/^index\.html$|\.html$/, '')}`)
      await (await socket).waitForEvent('framereceived')
      expect((await violations()).filter((text) => text !== ASKED_FOR_EVAL)).toEqual([])
      await page.close()
    },
  )
})
