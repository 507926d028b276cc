import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import type { VerificationRecord } from '../../shared/schemas/verification.ts'
import type { ZoneDiagnosis } from '../../shared/schemas/zone-diagnosis.ts'
import { type InstallLine, startInstallLine } from '../integration/support/install-line.ts'
import { patientFetch } from '../integration/support/patient-fetch.ts'
import { axeViolations, layoutShift, openBrowser, openPage, overflow, smallTargets } from './support/pages.ts'
import { Technician } from './support/technician.ts'

vi.setConfig({ testTimeout: 400_000, hookTimeout: 180_000 })

const WITHIN = { timeout: 60_000 }
let browser: Browser
let line: InstallLine
let record = ''
beforeAll(async () => {
  browser = await openBrowser()
  line = await startInstallLine()
})
afterAll(async () => {
  await browser?.close()
  await line?.stop()
})

const TRUTH = 'arrows-differ operator_side'
const named = ({ cause, side }: { cause: string; side: string | null }) => `${cause} ${side}`
/** Degrees of the rope arriving and leaving, counter-clockwise from downstream. */
const ROPES = [
  ['first', 0, -90],
  ['second', 90, -90],
] as const
const KG = 15
const get = async <T>(path: string): Promise<T> => (await (await patientFetch(line.address + path)).json()) as T
const diagnosed = () => get<ZoneDiagnosis>(`/api/zones/${line.zone}/diagnosis?record=${record}`)

describe('an install with the operator side’s arrow 12° off, whose angle nobody measured', () => {
  it('is suspected by the roller’s own weight, and proven by a known weight on a rope in two directions', async () => {
    const onset = { kind: 'constant' } as const
    await line.simulator.ask({
      do: 'fault',
      fault: { fault: 'arrows-differ', zone: line.zone, side: 'operator_side', severity: 12, onset },
    })
    const { page, complaints } = await openPage(browser, `${line.address}/verification?zone=${line.zone}`)
    await page.getByTestId('begin-title').fill('Something is off')
    await page.getByTestId('begin-who').fill('A. Fitter')
    await page.getByTestId('begin').click()
    await page.getByTestId('verification-record').waitFor(WITHIN)
    record = new URL(page.url()).searchParams.get('record') ?? ''
    const at = new Technician(page, line, record)
    const { head } = await get<VerificationRecord>(`/api/verifications/${record}`)
    expect(Math.abs(90 - Math.abs(head.plan.arrowTarget?.deg ?? 90)), 'the bisector, off vertical').toBeGreaterThan(30)

    await line.act('stop')
    await line.act('lock-out')
    await line.act('open-guards')
    await at.notDone('fit.arrow-angle', 'no inclinometer at hand')
    await line.act('take-web-off')
    await line.act('lift-roller')
    await at.open('electric.gravity')
    await at.take('no-load')
    await line.act('set-down-roller')
    await at.take('roller-on')
    await at.keep('electric.gravity')
    await at.open('electric.push')
    for (const side of ['drive_side', 'operator_side']) {
      await at.takeWhile(`push.${side}`, () => line.act('push-end', { side, newtons: 80 }))
      await line.act('let-go')
    }
    await at.keep('electric.push')

    const suspected = (await diagnosed()).diagnosis
    expect(suspected.causes.slice(0, 3).map(named), 'among others that pull a side alike').toContain(TRUTH)
    const rest = suspected.causes.find((cause) => named(cause) === TRUTH)
    expect(
      rest?.missing.flatMap(({ tests }) => tests),
      'and what would tell',
    ).toContain('known-weight.two-directions')

    await page.goto(`${line.address}/diagnosis?zone=${line.zone}&record=${record}`)
    const next = page.getByTestId('next-test')
    await next.waitFor(WITHIN)
    const worth = suspected.nextTests.map(({ test }) => test)
    expect(worth, 'which test to make first').toContain(await next.getAttribute('data-test'))

    await page.goto(`${line.address}/verification?zone=${line.zone}&record=${record}`)
    await at.open('known-weight.two-directions')
    await at.take('bare')
    for (const [capture, arriving, leaving] of ROPES) {
      await line.act('hang-weight', { kg: KG, path: { arriving_deg: arriving, leaving_deg: leaving } })
      await at.typeWith(capture, 'arriving', arriving)
      await at.typeWith(capture, 'leaving', leaving)
      await at.take(capture)
      await line.act('take-weight-off')
    }
    await at.keep('known-weight.two-directions')

    await page.goto(`${line.address}/diagnosis?zone=${line.zone}&record=${record}`)
    const first = page.getByTestId('cause-1')
    await first.waitFor(WITHIN)
    expect([await first.getAttribute('data-cause'), await first.getAttribute('data-side')].join(' ')).toBe(TRUTH)
    expect((await first.textContent()) ?? '', 'says why').toMatch(/For it/)
    const { diagnosis } = await diagnosed()
    const [cause] = diagnosis.causes
    expect(cause?.probability, 'without doubt').toBeGreaterThan(0.9)
    expect(cause?.severity?.low).toBeLessThan(12)
    expect(cause?.severity?.high).toBeGreaterThan(12)
    expect(diagnosis.causes.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(1, 6)
    expect(complaints).toEqual([])
    await page.context().close()
  })
})

describe.each([1440, 1024, 390])('the page at %i px', (width) => {
  it.each(['light', 'dark'] as const)(
    '%s: no axe violation, nothing cut off, no layout shift, targets large enough',
    async (colorScheme) => {
      const path = `/diagnosis?zone=${line.zone}&record=${record}`
      const { page, complaints } = await openPage(browser, line.address + path, {
        viewport: { width, height: 900 },
        colorScheme,
      })
      await page.getByTestId('cause-1').waitFor(WITHIN)
      expect(await axeViolations(page)).toEqual([])
      expect(await overflow(page)).toBeLessThanOrEqual(0)
      expect(await layoutShift(page)).toBeLessThan(0.1)
      expect(await smallTargets(page)).toEqual([])
      expect(complaints).toEqual([])
      await page.context().close()
    },
  )
})

it('a record of another zone, or none of that name, is refused with a sentence', async () => {
  const answer = await fetch(`${line.address}/api/zones/${line.zone}/diagnosis?record=nothing-here`)
  expect(answer.status).toBe(404)
})
