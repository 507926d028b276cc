import { randomUUID } from 'node:crypto'
import { cpSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest'
import type { NewEntry, RecordCheck, RecordEntry, VerificationRecord } from '../../shared/schemas/verification.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import { type InstallLine, startInstallLine } from '../integration/support/install-line.ts'
import { patientFetch } from '../integration/support/patient-fetch.ts'
import { PNG } from '../verification/support/made-records.ts'
import { axeViolations, openBrowser, openPage } from './support/pages.ts'
import { Technician } from './support/technician.ts'

/** A verification where it is made: by keyboard, with a camera, over reloads, and while the gateway is away. */
vi.setConfig({ testTimeout: 180_000, hookTimeout: 180_000 })

const WITHIN = { timeout: 60_000 }
const WHO = 'A. Fitter'
let browser: Browser
let line: InstallLine
beforeAll(async () => {
  browser = await openBrowser()
  line = await startInstallLine()
  for (const act of ['stop', 'lock-out', 'open-guards', 'take-web-off']) await line.act(act)
})
afterAll(async () => {
  await browser?.close()
  await line?.stop()
})

const ends: (() => Promise<unknown>)[] = []
afterEach(async () => {
  for (const end of ends.splice(0).reverse()) await end()
})

async function post<T>(path: string, body: unknown): Promise<T> {
  const headers = { 'content-type': 'application/json' }
  const reply = await patientFetch(line.address + path, { method: 'POST', body: JSON.stringify(body), headers })
  if (!reply.ok) throw new Error(await reply.text())
  return (await reply.json()) as T
}
const get = async <T>(path: string): Promise<T> => (await (await patientFetch(line.address + path)).json()) as T
const recordOf = (id: string) => get<VerificationRecord>(`/api/verifications/${id}`)
const begun = async (title: string) => {
  const asked = { key: randomUUID(), who: WHO, title }
  return (await post<VerificationRecord>(`/api/zones/${line.zone}/verifications`, asked)).head.id
}
const add = (record: string, entry: Record<string, unknown>) =>
  post<RecordEntry>(`/api/verifications/${record}/entries`, { key: randomUUID(), who: WHO, ...entry } as NewEntry)
const runout = (mm: number) => ({
  kind: 'result',
  test: 'fit.runout',
  phase: 'as-left',
  values: { runout: mm },
  captures: [],
})

/** The page of a record at one of its tests, signed with a name unless somebody is to type one. */
async function opened(record: string, test: string | null, { who = WHO, before = '' } = {}) {
  const query = new URLSearchParams({ zone: line.zone, record, ...(test === null ? {} : { test }) })
  const watched = await openPage(browser, `${line.address}/api/zones`)
  ends.push(() => watched.page.context().close())
  if (who !== '')
    await watched.page.evaluate((name) => {
      localStorage.setItem('evenpull.who', name)
    }, who)
  if (before !== '') await watched.page.addInitScript(before)
  await watched.page.goto(`${line.address}/verification?${query}`)
  await watched.page.getByTestId('verification-record').waitFor(WITHIN)
  return { ...watched, at: new Technician(watched.page, line, record) }
}

const matches = (page: Page, testId: string, words: RegExp) =>
  page.waitForFunction(
    ([id, source]) => new RegExp(source ?? '').test(document.querySelector(`[data-testid="${id}"]`)?.textContent ?? ''),
    [testId, words.source],
    WITHIN,
  )

/** Tab until what has the focus lies in the element with this id. */
async function tabTo(page: Page, testId: string): Promise<void> {
  for (let i = 0; i < 150; i += 1) {
    await page.keyboard.press('Tab')
    const isThere = await page.evaluate(
      (id) => document.activeElement?.closest(`[data-testid="${id}"]`) !== null && document.activeElement !== null,
      testId,
    )
    if (isThere) return
  }
  throw new Error(`Tab never comes to ${testId}`)
}

describe('a technician on the floor', () => {
  it('takes a test by keyboard alone: opens it, answers, types, looks, keeps it and writes a note', async () => {
    const record = await begun('By keyboard')
    const { page, complaints } = await opened(record, null, { who: '' })
    const press = (key: string) => page.keyboard.press(key)
    await tabTo(page, 'test-fit.clamps')
    await press('Enter')
    await page.getByTestId('keep').waitFor(WITHIN)
    for (const field of ['clamps-crosswise.drive_side', 'clamps-crosswise.operator_side', 'weight-held']) {
      await tabTo(page, `field-${field}`)
      await press('Space')
      expect(await page.getByTestId(`field-${field}`).getByRole('radio', { name: 'Yes' }).isChecked(), field).toBe(true)
    }
    await tabTo(page, 'test-who')
    await page.keyboard.type(WHO)
    await tabTo(page, 'preview')
    await press('Enter')
    await page.getByTestId('preview-result').waitFor(WITHIN)
    await tabTo(page, 'keep')
    await press('Enter')
    await page.locator('[data-testid="test-fit.clamps"][data-state="inside"]').waitFor(WITHIN)
    await tabTo(page, 'note-text')
    await page.keyboard.type('Torque wrench of the site')
    await tabTo(page, 'note-keep')
    await press('Enter')
    await page.getByTestId('entry-2').waitFor(WITHIN)
    const { entries } = await recordOf(record)
    expect(entries.map(({ kind, who }) => [kind, who])).toEqual([
      ['result', WHO],
      ['note', WHO],
    ])
    expect(complaints).toEqual([])
  })

  it('adds a photo, which is kept as it is shown; a file that is no picture is refused in words', async () => {
    const record = await begun('With a photo')
    const { page, complaints } = await opened(record, 'fit.runout')
    const file = page.getByTestId('photo-file')
    await file.setInputFiles({ name: 'notes.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('no picture') })
    await page.getByText('This file cannot be shown as a picture').waitFor(WITHIN)
    await file.setInputFiles({ name: 'dial.png', mimeType: 'image/png', buffer: PNG })
    const image = page.getByTestId('entry-1').locator('img')
    await image.waitFor(WITHIN)
    await page.waitForFunction(() => (document.querySelector('img') as HTMLImageElement | null)?.naturalWidth === 1)
    const { entries } = await recordOf(record)
    expect(entries).toMatchObject([{ kind: 'photo', test: 'fit.runout', mediaType: 'image/jpeg', who: WHO }])
    expect((await get<RecordCheck>(`/api/verifications/${record}/check`)).whole).toBe(true)
    expect(complaints).toEqual([])
  })

  it('corrects any entry of a test after the signature, with a name; what is corrected stays as it was', async () => {
    const record = await begun('Corrected later')
    for (const mm of [0.02, 0.04]) await add(record, runout(mm))
    await add(record, { kind: 'note', test: 'fit.runout', text: 'Dial on the shell' })
    await add(record, { kind: 'signature', name: WHO })
    const before = (await recordOf(record)).entries
    const { page, complaints } = await opened(record, 'fit.runout', { who: '' })
    await page.getByTestId('correct-1').click()
    await page.getByTestId('correction-1-text').fill('The dial stood at 0.03 mm.')
    expect(await page.getByTestId('correction-1-keep').isDisabled(), 'without a name').toBe(true)
    await page.reload()
    expect(await page.getByTestId('correction-1-text').inputValue()).toBe('The dial stood at 0.03 mm.')
    await page.getByTestId('more-who').fill('B. Fitter')
    await page.getByTestId('correction-1-keep').click()
    await page.getByTestId('entry-1').getByText('Corrected by B. Fitter: The dial stood at 0.03 mm.').waitFor(WITHIN)
    expect(await axeViolations(page)).toEqual([])
    const { entries } = await recordOf(record)
    expect(entries.slice(0, -1)).toEqual(before)
    expect(entries.at(-1)).toMatchObject({ kind: 'correction', of: 1, who: 'B. Fitter' })
    expect((await get<RecordCheck>(`/api/verifications/${record}/check`)).whole).toBe(true)
    expect(complaints).toEqual([])
  })

  it('chooses the paper of the report once', async () => {
    const record = await begun('On paper')
    const { page } = await opened(record, null)
    const link = () => page.getByTestId('report-link').getAttribute('href')
    expect(await link()).toBe(`/api/verifications/${record}/report?lang=en&decimal=point`)
    await page.getByTestId('report-paper').selectOption('letter')
    expect(await link()).toBe(`/api/verifications/${record}/report?paper=letter&lang=en&decimal=point`)
    await page.reload()
    await page.getByTestId('report-link').waitFor(WITHIN)
    expect(await page.getByTestId('report-paper').inputValue()).toBe('letter')
    const report = await (await patientFetch(line.address + ((await link()) ?? ''))).text()
    expect(report).toContain('@page{size:letter;')
  })

  it('reloads with a capture taken and one under way: the first is still there, the second is not taken', async () => {
    const record = await begun('Reloaded')
    const { page, at, complaints } = await opened(record, 'electric.channels')
    await at.take('still')
    await page.getByTestId('take-still').click()
    const panel = page.getByTestId('capture-still')
    await panel.getByRole('button', { name: 'Stop' }).waitFor(WITHIN)
    await page.reload()
    await panel.waitFor(WITHIN)
    expect(await panel.getAttribute('data-taken')).toBe('1')
    await page.getByTestId('take-still').waitFor(WITHIN)
    await at.keep('electric.channels')
    const [entry] = (await recordOf(record)).entries
    expect(entry).toMatchObject({ kind: 'result', captures: [{ capture: 'still' }] })
    expect(complaints).toEqual([])
  })

  it('sees what moves at both ends while he pushes, and that the screen may go dark', async () => {
    const record = await begun('Pushed')
    const before = 'navigator.wakeLock.request = () => Promise.reject(new Error("battery is low"))'
    const { page, complaints } = await opened(record, 'electric.push', { before })
    await page.getByTestId('take-push.drive_side').click()
    await matches(page, 'stay-awake', /does not keep its screen on/)
    await page
      .getByTestId('capture-push.drive_side')
      .getByText(/now: move it/)
      .waitFor(WITHIN)
    const seen = Promise.all([
      matches(page, 'moved-by-drive_side', /^\+[1-9]\d[\d.]*\s±\s[\d.]+\sN$/),
      matches(page, 'moved-operator_side', /change since the rest; newest sample -?[\d.]+\sN/),
    ])
    await line.act('push-end', { side: 'drive_side', newtons: 80 })
    await seen
    await page.locator('[data-testid="capture-push.drive_side"][data-taken="1"]').waitFor(WITHIN)
    await line.act('let-go')
    expect(await page.getByTestId('moved-sides').count()).toBe(0)
    expect(complaints).toEqual([])
  })

  it('goes on typing while the gateway is killed and started again: all of it is there, and arrives once', async () => {
    const record = await begun('Killed meanwhile')
    const { page } = await opened(record, 'fit.runout')
    await page.getByTestId('field-runout').fill('0.02')
    await page.getByTestId('note-text').fill('written before, ')
    const folder = dirname(line.gateway.configPath)
    const { port } = new URL(line.address)
    process.kill(line.gateway.pid, 'SIGKILL')
    await page.getByText('Not followed just now').waitFor(WITHIN)
    await page.getByTestId('note-text').fill('written before, and while it was away')
    await page.getByTestId('note-keep').click()
    await matches(page, 'waiting-entries', /Note on .*written before, and while it was away.*stays in this browser/)
    await page.getByTestId('note-text').fill('half a sen')
    const again: GatewayProcess = await startGatewayProcess(
      readFileSync(line.gateway.configPath, 'utf8'),
      Number(port),
      (next) => cpSync(join(folder, '.evenpull'), join(next, '.evenpull'), { recursive: true }),
    )
    ends.push(() => again.stop())
    await page.getByTestId('entry-1').waitFor(WITHIN)
    await page.getByTestId('waiting-entries').waitFor({ ...WITHIN, state: 'detached' })
    expect(await page.getByTestId('field-runout').inputValue()).toBe('0.02')
    expect(await page.getByTestId('note-text').inputValue()).toBe('half a sen')
    await page.reload()
    await page.getByTestId('entry-1').waitFor(WITHIN)
    expect(await page.getByTestId('note-text').inputValue()).toBe('half a sen')
    expect((await recordOf(record)).entries).toMatchObject([
      { seq: 1, kind: 'note', text: 'written before, and while it was away', who: WHO },
    ])
  })
})
