import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import type { RecordCheck, VerificationRecord } from '../../shared/schemas/verification.ts'
import { type InstallLine, startInstallLine } from '../integration/support/install-line.ts'
import { patientFetch } from '../integration/support/patient-fetch.ts'
import { axeViolations, layoutShift, openBrowser, openPage, overflow, smallTargets } from './support/pages.ts'
import { Technician } from './support/technician.ts'

vi.setConfig({ testTimeout: 600_000, hookTimeout: 180_000 })

const WITHIN = { timeout: 60_000 }
let browser: Browser
let line: InstallLine
beforeAll(async () => {
  browser = await openBrowser()
  // Short windows, so that a change of speed is steady again soon.
  line = await startInstallLine((text) => text.replace(/^( +)cell_distance_m:/m, '$1average_s: 4\n$1cell_distance_m:'))
})
afterAll(async () => {
  await browser?.close()
  await line?.stop()
})

const get = async <T>(path: string): Promise<T> => (await (await patientFetch(line.address + path)).json()) as T

async function begun(title: string): Promise<{ page: Page; complaints: string[]; record: string }> {
  const { page, complaints } = await openPage(browser, `${line.address}/verification?zone=${line.zone}`)
  await page.getByTestId('begin-title').fill(title)
  await page.getByTestId('begin-who').fill('A. Fitter')
  await page.getByTestId('begin').click()
  await page.getByTestId('verification-record').waitFor(WITHIN)
  return { page, complaints, record: new URL(page.url()).searchParams.get('record') ?? '' }
}

describe('a technician', () => {
  it('takes a healthy install from paper to warm running, signs, and hands over a report', async () => {
    const { page, complaints, record } = await begun('New cells at the laminator')
    const at = new Technician(page, line, record)

    for (const test of ['paper.geometry', 'paper.capacity', 'paper.growth', 'paper.arrow-target', 'paper.live-zero']) {
      await at.open(test)
      expect(await at.keep(test), test).toBe('inside')
    }

    // Fit, locked out.
    await line.act('stop')
    await line.act('lock-out')
    await line.act('open-guards')
    await at.open('fit.arrow-angle')
    const target = (await get<VerificationRecord>(`/api/verifications/${record}`)).head.plan.arrowTarget
    const fromVertical = 90 - Math.abs(target?.deg ?? 0)
    for (const side of ['drive_side', 'operator_side']) await at.type(`deg.${side}`, Math.abs(fromVertical))
    expect(await at.keep('fit.arrow-angle')).toBe('inside')
    await at.open('fit.end-clearance')
    for (const side of ['drive_side', 'operator_side']) await at.type(`clearance.${side}`, 2.2)
    expect(await at.keep('fit.end-clearance')).toBe('inside')
    for (const [test, fields] of Object.entries({
      'fit.free-play': ['free-play.drive_side', 'free-play.operator_side'],
      'fit.clamps': ['clamps-crosswise.drive_side', 'clamps-crosswise.operator_side', 'weight-held'],
      'fit.bolts': ['bolts-tight.drive_side', 'bolts-tight.operator_side'],
      'fit.nothing-touches': ['nothing-touches'],
      'fit.cables': ['cables-seated.drive_side', 'cables-seated.operator_side'],
    })) {
      await at.open(test)
      for (const field of fields) await at.choose(field, 'Yes')
      expect(await at.keep(test), test).toBe('inside')
    }
    await at.open('fit.runout')
    await at.type('runout', 0.02)
    expect(await at.keep('fit.runout')).toBe('inside')
    await at.notDone('fit.level', 'no level at hand today')

    // Electric: the roller's own weight, then a push at each end.
    await line.act('take-web-off')
    await line.act('lift-roller')
    await at.open('electric.gravity')
    await at.take('no-load')
    await line.act('set-down-roller')
    await at.take('roller-on')
    expect(['inside', 'undecided']).toContain(await at.keep('electric.gravity'))
    await at.open('electric.push')
    for (const side of ['drive_side', 'operator_side']) {
      await at.takeWhile(`push.${side}`, () => line.act('push-end', { side, newtons: 80 }))
      await line.act('let-go')
    }
    expect(await at.keep('electric.push')).toBe('inside')
    await at.notDone('electric.cross-swap', 'no fault is seen')

    // Known weights, up and down.
    await at.open('known-weight.series')
    const hang = async (kg: number, way: string) => {
      if (kg === 0) await line.act('take-weight-off')
      else await line.act('hang-weight', { kg })
      await at.type('mass', kg)
      await at.choose('direction', way)
      await at.take('point')
    }
    await at.type('mass', 0)
    await at.choose('direction', 'going up')
    await at.take('point')
    await hang(12, 'going up')
    await hang(24, 'going up')
    await hang(12, 'going down')
    await hang(0, 'going down')
    await hang(24, 'going up')
    expect(await at.keep('known-weight.series')).not.toBe('outside')
    await line.act('take-weight-off')

    // Running: two speeds and two tensions.
    await line.act('thread-web')
    await line.act('close-guards')
    await line.act('unlock')
    await line.act('set-tension', { newtons: 180 })
    await line.act('start', { speed_m_min: 80 })
    await at.open('running.path')
    await at.choose('as-drawn', 'Yes')
    expect(await at.keep('running.path')).toBe('inside')
    await at.open('running.points')
    for (const [newtons, speed] of [
      [180, 80],
      [180, 160],
      [240, 160],
      [240, 80],
    ]) {
      await line.act('set-tension', { newtons })
      await line.act('start', { speed_m_min: speed })
      await at.take('point')
    }
    expect(await at.keep('running.points')).not.toBe('outside')
    await at.open('running.step')
    await at.takeWhile('step', () => line.act('set-tension', { newtons: 200 }))
    expect(await at.keep('running.step')).not.toBe('outside')

    // Warm: too short to judge drift, and it says so; the zero comes back.
    await at.open('warm.hold')
    await page.getByTestId('past-hold-0.5').click()
    expect(['unknown', 'undecided']).toContain(await at.keep('warm.hold'))
    await line.act('stop')
    await line.act('lock-out')
    await line.act('open-guards')
    await line.act('take-web-off')
    await at.open('warm.zero-return')
    await at.take('zero')
    expect(['inside', 'undecided']).toContain(await at.keep('warm.zero-return'))

    await page.getByTestId('sign-record').click()
    await page.locator('[data-testid="verification-record"][data-signed="true"]').waitFor(WITHIN)
    const kept = await get<VerificationRecord>(`/api/verifications/${record}`)
    const states = kept.entries.flatMap((entry) => (entry.kind === 'result' ? [entry.result.state] : []))
    expect(states.filter((state) => state === 'outside')).toEqual([])
    expect(states.filter((state) => state === 'inside').length).toBeGreaterThan(14)
    expect((await get<RecordCheck>(`/api/verifications/${record}/check`)).whole).toBe(true)

    const report = await openPage(browser, `${line.address}/api/verifications/${record}/report`)
    const text = (await report.page.locator('body').textContent()) ?? ''
    expect(text).toContain('no level at hand today')
    expect(text).toContain('is no certificate')
    expect(report.complaints).toEqual([])
    await report.page.context().close()
    expect(complaints).toEqual([])
    await page.context().close()
  })

  it('leaves in the middle and goes on elsewhere: what was typed is still here, what somebody else kept is seen', async () => {
    const { page, record } = await begun('Left and resumed')
    const at = new Technician(page, line, record)
    await at.open('fit.runout')
    await at.type('runout', 0.04)
    await page.getByTestId('note-text').fill('dial held by hand')
    await page.reload()
    await page.getByTestId('field-runout').waitFor(WITHIN)
    expect(await page.getByTestId('field-runout').inputValue()).toBe('0.04')
    expect(await page.getByTestId('note-text').inputValue(), 'a note, while it is being typed').toBe(
      'dial held by hand',
    )

    const other = await openPage(
      browser,
      `${line.address}/verification?zone=${line.zone}&record=${record}&test=fit.runout`,
    )
    await other.page.getByTestId('test-who').fill('B. Fitter')
    await other.page.getByTestId('field-runout').fill('0.2')
    await other.page.getByTestId('keep').click()
    await page.locator('[data-testid="test-fit.runout"][data-state="outside"]').waitFor(WITHIN)
    expect(await page.getByTestId('field-runout').inputValue(), 'what is typed here stays').toBe('0.04')
    await page.getByTestId('field-runout').fill('0.04 mm')
    await page.getByTestId('keep').click()
    await page.getByTestId('wrong-numbers').waitFor(WITHIN)
    expect(await page.getByTestId('field-runout').inputValue(), 'what is no number is not kept, and not lost').toBe(
      '0.04 mm',
    )
    await page.getByTestId('field-runout').fill('0.04')
    expect(await at.keep('fit.runout')).toBe('inside')
    const { entries } = await get<VerificationRecord>(`/api/verifications/${record}`)
    expect(entries.map(({ who, seq }) => [seq, who])).toEqual([
      [1, 'B. Fitter'],
      [2, 'A. Fitter'],
    ])
    await other.page.context().close()
    await page.context().close()
  })
})

describe.each([1440, 1024, 390])('the page at %i px', (width) => {
  it.each(['light', 'dark'] as const)(
    '%s: no axe violation, nothing cut off, no layout shift, targets large enough',
    async (colorScheme) => {
      const { records } = await get<{ records: { id: string }[] }>(`/api/zones/${line.zone}/verifications`)
      const list = `/verification?zone=${line.zone}`
      const { page, complaints } = await openPage(browser, line.address + list, {
        viewport: { width, height: 900 },
        colorScheme,
      })
      for (const path of [
        list,
        `${list}&record=${records[0]?.id}&test=electric.push`,
        `${list}&record=${records[0]?.id}&test=fit.runout`,
      ]) {
        await page.goto(line.address + path)
        await page.waitForTimeout(1500)
        expect(await axeViolations(page), path).toEqual([])
        expect(await overflow(page), path).toBeLessThanOrEqual(0)
        expect(await layoutShift(page), path).toBeLessThan(0.1)
        expect(await smallTargets(page), path).toEqual([])
      }
      expect(complaints).toEqual([])
      await page.context().close()
    },
  )
})
