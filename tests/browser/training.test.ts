import type { Browser, Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { startGatewayProcess, untilAnswer } from '../integration/support/gateway.ts'
import { patientFetch } from '../integration/support/patient-fetch.ts'
import { axeViolations, layoutShift, openBrowser, openPage, overflow, smallTargets, textOf } from './support/pages.ts'
import { startTrainingMachine, Trainee, type TrainingMachine } from './support/training-machine.ts'

vi.setConfig({ testTimeout: 300_000, hookTimeout: 120_000 })

const WITHIN = { timeout: 90_000 }
const NAME = 'A. Fitter'
/** A line of one zone that runs when an exercise begins. */
const RUNNING_LINE = 'wide-film'
/** A size that nothing else on a page has. */
const SIZE = 13.73

let browser: Browser
let machine: TrainingMachine
let zone = ''
beforeAll(async () => {
  browser = await openBrowser()
  machine = await startTrainingMachine()
})
afterAll(async () => {
  await browser?.close()
  await machine?.stop()
})

/** Ends whatever exercise is open, as its trainee would. */
async function giveUpWhatIsOpen(): Promise<void> {
  const { exercise } = await machine.look()
  if (exercise === null) return
  await patientFetch(`${machine.address}/api/training/exercise/give-up`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ exercise: exercise.id }),
  })
}
beforeEach(giveUpWhatIsOpen)

/** Begins an exercise whose operator side’s arrow stands off. */
async function setArrow(): Promise<void> {
  zone = 'slitter-infeed'
  const onset = { kind: 'constant' } as const
  await machine.set({
    trainee: NAME,
    line: RUNNING_LINE,
    faults: [{ fault: 'arrows-differ', zone, side: 'operator_side', severity: SIZE, onset }],
  })
}

async function handIn(page: Page): Promise<void> {
  await page.getByTestId('hand-in').click()
  await page.getByTestId('confirm').click()
  await page.locator('[data-testid="debrief"][data-state="ready"]').waitFor(WITHIN)
}

interface Heard {
  readonly from: string
  readonly text: string
}

/** Everything that a page is told: bodies of answers, and messages of its socket. */
function hear(page: Page): { readonly heard: Heard[]; readonly asked: string[] } {
  const heard: Heard[] = []
  const asked: string[] = []
  page.on('request', (request) => asked.push(new URL(request.url()).pathname))
  page.on('response', (response) => {
    const from = new URL(response.url()).pathname
    response.text().then(
      (text) => heard.push({ from, text }),
      () => {},
    )
  })
  page.on('websocket', (socket) =>
    socket.on('framereceived', ({ payload }) =>
      heard.push({ from: 'stream', text: typeof payload === 'string' ? payload : payload.toString('latin1') }),
    ),
  )
  return { heard, asked }
}

/** Lists that hold every cause there is, whatever is hidden: the catalogue, the diagnosis, the page’s own code. */
const HOLDS_EVERY_CAUSE = /^\/api\/training$|\/diagnosis$|^\/_next\/|\.(js|txt|html)$|^\/[a-z-]*$/

describe('an exercise that is solved', () => {
  it('from a refused act to the debrief; reloads lose nothing, and nothing hidden reaches the trainee’s page', async () => {
    await setArrow()
    const { page, complaints } = await openPage(browser, 'about:blank')
    const { heard, asked } = hear(page)
    await page.goto(`${machine.address}/training`)
    const trainee = new Trainee(page)
    await page.getByTestId('desk').waitFor(WITHIN)
    await page.getByTestId('side-value-drive_side').waitFor(WITHIN)

    expect(await trainee.act('measure', 'measure-arrow', 'operator side'), 'while it runs').toBe(true)
    expect(await textOf(page, 'refusal')).toMatch(/unsafe/)
    expect(await textOf(page, 'unsafe-tries')).toBe('1')
    expect(await textOf(page, 'time-used'), 'a refused act costs no time').toMatch(/^0\ss$/)

    await stopByKeyboard(page)
    expect(await textOf(page, 'condition')).toMatch(/stopped, not locked out/)
    for (const act of ['lock-out', 'open-guards']) expect(await trainee.act('safe', act)).toBe(false)
    expect(await textOf(page, 'condition')).toMatch(/locked out.*open/)

    await page.getByTestId('notes').fill('The operator side reads low.')
    await trainee.open('loads', 'push-end')
    await page.getByTestId('field-newtons').fill('77')
    const deeds = await page.locator('[data-testid^="deed-"]').count()
    await page.reload()
    await page.getByTestId('desk').waitFor(WITHIN)
    expect(await page.getByTestId('notes').inputValue()).toBe('The operator side reads low.')
    expect(await page.getByTestId('field-newtons').inputValue()).toBe('77')
    expect(await page.locator('[data-testid^="deed-"]').count()).toBe(deeds)

    for (const side of ['drive side', 'operator side'] as const)
      expect(await trainee.act('measure', 'measure-arrow', side)).toBe(false)
    expect(await textOf(page, 'outcome')).toMatch(/Arrow angle.*±.*°/)

    await page.goto(`${machine.address}/?zone=${zone}`)
    await page.getByTestId('exercise-strip').getByRole('link', { name: 'Hand in' }).click()
    await page.getByTestId('verdict-causes').check()
    await page.getByTestId('cause-1').selectOption('arrows-differ')
    await page.getByTestId('side-operator_side').check()
    await page.reload()
    await page.getByTestId('answer').waitFor(WITHIN)
    expect(await page.getByTestId('cause-1').inputValue(), 'a half-made answer stays').toBe('arrows-differ')
    await page.getByTestId('hand-in').click()
    expect(await page.getByTestId('confirm').count(), 'not before it is whole').toBe(0)
    const remedy = (await machine.look()).faults[0]?.remedies[0] ?? ''
    await page.getByTestId('remedy-1').selectOption(remedy)

    const early = await fetch(`${machine.address}/api/training/debriefs/${(await machine.look()).exercise?.id}`)
    expect(early.status, 'no debrief of an open exercise').toBe(409)
    const { seed } = await machine.look()
    expect(asked.filter((path) => /instructor|debriefs/.test(path))).toEqual([])
    const told = heard.filter(({ from }) => !HOLDS_EVERY_CAUSE.test(from))
    expect(told.some(({ from }) => from === 'stream') && told.some(({ from }) => /exercise/.test(from))).toBe(true)
    expect(told.filter(({ text }) => text.includes('arrows-differ')).map(({ from }) => from)).toEqual([])
    // As numbers of their own: a force may have the same digits somewhere.
    const alone = (value: unknown) => `(?<![\\d.])${String(value).replace('.', '\\.')}(?![\\d.])`
    const hidden = new RegExp(`${alone(SIZE)}|${alone(seed)}|"seed"|"severity"|"remedies":\\["`)
    for (const { from, text } of heard.filter(({ from }) => /^\/api|^stream/.test(from)))
      if (from !== '/api/training') expect(hidden.exec(text)?.[0] ?? null, from).toBeNull()

    await handIn(page)
    const truth = page.getByTestId('truth').locator('li').first()
    expect(await truth.getAttribute('data-cause')).toBe('arrows-differ')
    expect(await truth.textContent()).toMatch(/13\.73\s°/)
    expect(await textOf(page, 'points'), 'one off for the unsafe try').toBe('7 of 8 points.')
    expect(await textOf(page, 'safety')).toMatch(/Unsafe tries: 1/)
    expect(await textOf(page, 'shortest')).toMatch(/inclinometer/)
    const tests = page.locator('[data-verdict="told"]')
    expect(await tests.count()).toBeGreaterThan(0)
    expect((await tests.allTextContents()).join(' '), 'readings here and on a sound twin').toMatch(/±/)
    await page.getByRole('navigation', { name: 'Pages' }).getByRole('link', { name: 'Training' }).click()
    await page.getByTestId('training-start').waitFor(WITHIN)
    expect(complaints).toEqual([])
    await page.context().close()
  })
})

/** From the top of the page with Tab, the space bar and Enter alone. */
async function stopByKeyboard(page: Page): Promise<void> {
  const focused = () => page.evaluate(() => document.activeElement?.getAttribute('data-testid') ?? '')
  const tabTo = async (wanted: string) => {
    for (let i = 0; i < 120; i++) {
      await page.keyboard.press('Tab')
      if ((await focused()) === wanted) return
    }
    throw new Error(`${wanted} is not reached by keyboard`)
  }
  await page.evaluate(() => document.querySelector<HTMLElement>('#content')?.focus())
  await tabTo('doing-measure')
  await page.keyboard.press('ArrowLeft')
  await page.keyboard.press('ArrowLeft')
  expect(await focused()).toBe('doing-safe')
  await tabTo('act-stop')
  await page.keyboard.press('Enter')
  await tabTo('do')
  const deeds = await page.locator('[data-testid^="deed-"]').count()
  await page.keyboard.press('Enter')
  await page.getByTestId(`deed-${deeds + 1}`).waitFor(WITHIN)
}

describe('a lesson that is failed', () => {
  it('is begun under a name, gives its hints counted, and says afterwards what it was', async () => {
    const { page, complaints } = await openPage(browser, `${machine.address}/training`)
    await page.getByTestId('training-start').waitFor(WITHIN)
    expect(await page.locator('[data-testid^="lesson-"][data-done]').count()).toBeGreaterThanOrEqual(12)
    await page.locator('[data-testid^="lesson-"][data-done]').first().click()
    await page.getByTestId('start-lesson').click()
    expect(await page.getByTestId('trainee').getAttribute('aria-invalid'), 'not without a name').toBe('true')
    await page.getByTestId('trainee').fill('B. Beginner')
    await page.getByTestId('start-lesson').click()
    await page.getByTestId('desk').waitFor(WITHIN)
    await page.getByTestId('take-hint').click()
    await page.getByTestId('hints').waitFor(WITHIN)
    await page.getByTestId('to-answer').click()
    await page.getByTestId('verdict-nothing').check()
    await handIn(page)
    expect(await page.getByTestId('truth').locator('li').count()).toBe(1)
    expect(await textOf(page, 'points')).toMatch(/^0 of 8/)
    await page.getByTestId('next-exercise').click()
    await page.getByTestId('training-start').waitFor(WITHIN)
    expect(await page.getByTestId('trainee').inputValue(), 'the name is remembered').toBe('B. Beginner')
    await page.getByTestId('results').waitFor(WITHIN)
    expect(await page.locator('[data-testid^="lesson-"][data-done="true"]').count()).toBe(0)
    expect(await textOf(page, 'results')).toMatch(/no.*0 of 8/)
    expect(complaints).toEqual([])
    await page.context().close()
  })
})

describe('the instructor', () => {
  it('sets an exercise, changes tension and fault under the trainee’s hands, and sees what he does', async () => {
    const { page, complaints } = await openPage(browser, `${machine.address}/training?view=instructor`)
    await page.getByTestId('instructor-key').fill('not the key')
    await page.getByTestId('open-instructor').click()
    await page.getByTestId('training-failure').waitFor(WITHIN)
    expect(await page.getByTestId('hidden-faults').count()).toBe(0)
    complaints.splice(0)
    await page.getByTestId('instructor-key').fill(machine.key)
    await page.getByTestId('open-instructor').click()
    await page.getByTestId('set-trainee').fill('C. Learner')
    await page.getByTestId('set-line').selectOption(RUNNING_LINE)
    await page.getByTestId('set-1-fault').selectOption('mains-hum')
    await page.getByTestId('set-begin').click()
    await page.getByTestId('watched').waitFor(WITHIN)
    expect(await textOf(page, 'watched')).toMatch(/^C\. Learner/)

    const other = await openPage(browser, `${machine.address}/training`)
    const trainee = new Trainee(other.page)
    await other.page.getByTestId('desk').waitFor(WITHIN)
    await trainee.act('look', 'look-at-path')
    await page.getByTestId('deed-1').waitFor(WITHIN)
    expect(await page.getByTestId('deed-1').getAttribute('data-act')).toBe('look-at-path')

    const force = async () => {
      const text = await textOf(other.page, 'side-value-drive_side')
      return Number(text.replace('−', '-').replace(/[^\d.-]/g, '') || Number.NaN)
    }
    await untilAnswer(force, Number.isFinite, 60_000)
    const zones = (await machine.look()).exercise?.zones ?? []
    const before = (await machine.look()).machine?.zones[zones[0] ?? '']?.setN ?? 0
    await page.getByTestId(`field-tension-${zones[0]}`).fill(String(Math.round(before / 2)))
    await page.getByTestId(`set-tension-${zones[0]}`).click()
    await page.getByTestId('changes').waitFor(WITHIN)
    const view = await untilAnswer(
      () => machine.look(),
      ({ machine: now }) => (now?.zones[zones[0] ?? '']?.trueN ?? 0) < 0.6 * before,
      60_000,
    )
    expect(view.machine?.byHand).toBe(true)
    // Each side carries about half of the web: halved, it is well below a third of what was set.
    await untilAnswer(force, (newtons) => newtons < before / 3, 60_000)

    await page.getByTestId('put-in-fault').selectOption('open-bridge')
    if (zones.length > 1) await page.getByTestId('put-in-zone').selectOption(zones[0] ?? '')
    await page.getByTestId('put-in-drive_side').check()
    await page.getByTestId('put-in').click()
    await page.locator('[data-testid="hidden-faults"] [data-cause="open-bridge"]').waitFor(WITHIN)
    await other.page.locator('[data-testid="side-value-drive_side"][data-state="unknown"]').waitFor(WITHIN)
    await page.getByTestId('clear-faults').click()
    await page
      .locator('[data-testid="hidden-faults"] li')
      .first()
      .waitFor({ state: 'detached', ...WITHIN })

    await other.page.getByTestId('to-answer').click()
    await other.page.getByTestId('give-up').click()
    await other.page.getByTestId('confirm').click()
    await other.page.locator('[data-testid="debrief"][data-state="ready"]').waitFor(WITHIN)
    await page.getByTestId('no-exercise').waitFor(WITHIN)
    await page.getByTestId('all-results').getByText('C. Learner').waitFor(WITHIN)
    const download = page.waitForEvent('download')
    await page.getByTestId('save-csv').click()
    const stream = await (await download).createReadStream()
    const chunks: Buffer[] = []
    for await (const chunk of stream) chunks.push(Buffer.from(chunk))
    expect(Buffer.concat(chunks).toString('utf8')).toMatch(/C\. Learner/)
    expect(await page.evaluate(() => JSON.stringify(localStorage)), 'the key stays in the tab').not.toContain(
      machine.key,
    )
    expect([...complaints, ...other.complaints]).toEqual([])
    await page.context().close()
    await other.page.context().close()
  })
})

describe.each([1440, 1024, 390])('at %i px', (width) => {
  it.each(['light', 'dark'] as const)(
    '%s: every view is clean by axe, nothing cut off, no layout shift, targets large enough',
    async (colorScheme) => {
      await setArrow()
      const viewport = { width, height: 900 }
      const look = async (path: string, testId: string, prepare?: (page: Page) => Promise<void>) => {
        const { page, complaints } = await openPage(browser, machine.address + path, { viewport, colorScheme })
        await prepare?.(page)
        await page.getByTestId(testId).waitFor(WITHIN)
        await page.waitForTimeout(800)
        expect(await axeViolations(page), path).toEqual([])
        expect(await overflow(page), path).toBeLessThanOrEqual(0)
        expect(await layoutShift(page), path).toBeLessThan(0.1)
        expect(await smallTargets(page), path).toEqual([])
        expect(complaints, path).toEqual([])
        await page.context().close()
      }
      await look('/training', 'act-stop')
      await look('/training?step=answer', 'answer')
      await look(`/geometry?zone=${zone}`, 'exercise-strip')
      await look('/training?view=instructor', 'watched', async (page) => {
        await page.getByTestId('instructor-key').fill(machine.key)
        await page.getByTestId('open-instructor').click()
      })
      const { exercise } = await machine.look()
      await giveUpWhatIsOpen()
      await look('/training', 'training-start')
      await look('/training?lesson=push', 'lesson')
      await look(`/training?debrief=${exercise?.id}`, 'points')
    },
  )
})

it('a gateway without a training machine says so, gives the command, and asks for nothing in vain', async () => {
  const gateway = await startGatewayProcess(twoCells(tcpDevice(1)))
  const { page, complaints } = await openPage(browser, `${gateway.address}/training`)
  await page.getByTestId('no-machine').waitFor(WITHIN)
  expect(await textOf(page, 'no-machine')).toContain('npm run evenpull -- simulate')
  expect(await axeViolations(page)).toEqual([])
  expect(complaints).toEqual([])
  await page.context().close()
  await gateway.stop()
})
