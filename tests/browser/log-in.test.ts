import type { Browser, Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import { exampleGeometryView } from '../../gateway/http/config-examples.ts'
import type { Role } from '../../shared/roles.ts'
import type { StoredEvent } from '../../shared/schemas/events.ts'
import { bearer, NAMES, PASSWORDS, seedUsers } from '../access/support/made-access.ts'
import { tcpDevice, twoCells } from '../integration/support/cell-config.ts'
import { type GatewayProcess, startGatewayProcess } from '../integration/support/gateway.ts'
import {
  axeViolations,
  figuresStanding,
  openBrowser,
  openPage,
  overflow,
  textOf,
  type WatchedPage,
} from './support/pages.ts'

const WITHIN = { timeout: 60_000 }
/** Chromium writes every refusal into its console: a wrong password, a name that is taken. */
const REFUSED = /status of 4(01|22) /

let browser: Browser
let gateway: GatewayProcess
const opened: WatchedPage[] = []
beforeAll(async () => {
  browser = await openBrowser()
  gateway = await startGatewayProcess(twoCells(tcpDevice(1)), 0, seedUsers)
})
afterEach(async () => {
  for (const { page, complaints } of opened.splice(0)) {
    await page.context().close()
    expect(complaints.filter((text) => !REFUSED.test(text))).toEqual([])
  }
})
afterAll(async () => {
  await browser?.close()
  await gateway?.stop()
})

async function open(path: string, options: Parameters<typeof openPage>[2] = {}, at = gateway): Promise<Page> {
  const watched = await openPage(browser, at.address + path, options)
  opened.push(watched)
  return watched.page
}

const account = (page: Page) => page.getByTestId('account').getByRole('button').first()

async function logIn(page: Page, name: string, password: string): Promise<void> {
  await page.getByTestId('log-in-name').fill(name)
  await page.getByTestId('log-in-password').fill(password)
  await page.getByTestId('log-in-button').click()
}

async function openAs(role: Role, path: string, options: Parameters<typeof openPage>[2] = {}): Promise<Page> {
  const page = await open(path, options)
  await logIn(page, NAMES[role], PASSWORDS[role])
  await page.getByTestId('log-in').waitFor({ state: 'detached' })
  return page
}

const api = (method: string, path: string, body?: unknown) =>
  fetch(gateway.address + path, {
    method,
    headers: { ...bearer('engineer'), 'content-type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  })

describe('a password that its user changes', () => {
  it('is changed in the menu, says when it was not, keeps this page and ends the others', async () => {
    const first = await openAs('operate', '/set-up')
    const second = await openAs('operate', '/set-up')
    await account(first).click()
    await first.getByTestId('password-open').click()
    const change = async (present: string, password: string) => {
      await first.getByTestId('password-present').fill(present)
      await first.getByTestId('password-new').fill(password)
      await first.getByTestId('password-change').click()
    }
    await change('a wrong guess', 'a roll on two cells')
    await first.getByTestId('password-failure').waitFor(WITHIN)
    expect(await textOf(first, 'password-failure')).toContain('Not changed: the present password is wrong')
    expect(await axeViolations(first)).toEqual([])
    await change(PASSWORDS.operate, 'a roll on two cells')
    await second.getByTestId('session-ended').waitFor(WITHIN)
    expect(await textOf(first, 'password-done')).toBe('Changed. Every other session under this name has ended.')
    expect(await first.getByTestId('log-in').count()).toBe(0)
    // As it was, for the tests after this one.
    await change('a roll on two cells', PASSWORDS.operate)
    await first.waitForFunction(
      () => document.querySelector<HTMLInputElement>('[data-testid=password-new]')?.value === '',
    )
  })
})

describe('the register viewer', () => {
  it('is closed to who may only look, with the reason', async () => {
    const page = await openAs('view', '/set-up')
    const viewer = page.getByTestId('register-viewer')
    await viewer.getByTestId('role-reason').waitFor(WITHIN)
    expect(await viewer.getByRole('button', { name: 'Read once' }).isDisabled()).toBe(true)
  })
})

describe('the log-in', () => {
  it('leaves Help to whoever cannot log in: it holds nothing of the plant', async () => {
    const page = await open('/help/symptoms')
    await page.getByRole('heading', { name: 'Symptoms' }).waitFor()
    await page.getByTestId('connection').filter({ hasText: 'Nobody is logged in: no figure is shown.' }).waitFor()
    expect(await page.getByTestId('log-in').count()).toBe(0)
    await page.getByRole('link', { name: 'Live', exact: true }).click()
    await page.getByTestId('log-in').waitFor()
  })

  it('stands in the place of every page, which shows nothing before, and leads where one wanted to go', async () => {
    const page = await open('/geometry?zone=infeed')
    await page.getByTestId('log-in').waitFor()
    expect(await textOf(page, 'connection')).toBe('Nobody is logged in: no figure is shown.')
    expect(await textOf(page, 'alarm-mark')).toBe('Alarms not knownlog in to see them')
    expect(await page.locator('main h1:visible').allTextContents()).toEqual(['Log in'])
    await logIn(page, NAMES.view, PASSWORDS.view)
    await page.getByTestId('save-state').waitFor()
    expect(new URL(page.url()).pathname + new URL(page.url()).search).toBe('/geometry?zone=infeed')
    expect(await page.getByTestId('log-in').count()).toBe(0)
  })

  it('says that a name or a password is wrong, not which, and keeps the name', async () => {
    const page = await open('/')
    await logIn(page, NAMES.view, 'not this one')
    await page.getByTestId('log-in-failure').waitFor()
    expect(await textOf(page, 'log-in-failure')).toContain('Name or password is wrong.')
    expect(await page.getByTestId('log-in-name').inputValue()).toBe(NAMES.view)
    expect(await page.getByTestId('log-in-password').inputValue()).toBe('')
    await logIn(page, NAMES.view, PASSWORDS.view)
    await page.getByTestId('log-in').waitFor({ state: 'detached' })
  })

  it('is remembered over a reload and forgotten by logging out, in every tab', async () => {
    const page = await openAs('operate', '/')
    await page.reload()
    await page.getByTestId('devices').waitFor()
    const other = await page.context().newPage()
    await other.goto(`${gateway.address}/set-up`)
    await other.getByTestId('set-up-answer').waitFor()
    await account(page).click()
    expect(await textOf(page, 'who-am-i')).toContain('O. Fitter, operate: may read registers, acknowledge')
    await page.getByTestId('log-out').click()
    await page.getByTestId('log-in').waitFor()
    await other.getByTestId('log-in').waitFor(WITHIN)
    expect(await textOf(other, 'session-ended')).toContain('The session of O. Fitter has ended.')
  })
})

describe('a session that ends while a page is open', () => {
  it('is said at once, no figure stands, and what was typed is there after logging in again', async () => {
    const page = await openAs('engineer', '/set-up')
    await page.getByTestId('new-user-name').fill('Half typed')
    const other = await openAs('engineer', '/')
    await other.getByTestId('devices').waitFor()
    await api('PUT', `/api/users/${encodeURIComponent(NAMES.engineer)}`, { password: PASSWORDS.engineer })
    for (const each of [page, other]) await each.getByTestId('session-ended').waitFor(WITHIN)
    expect(await figuresStanding(other)).toEqual([])
    await logIn(page, NAMES.engineer, PASSWORDS.engineer)
    await page.getByTestId('log-in').waitFor({ state: 'detached' })
    expect(await page.getByTestId('new-user-name').inputValue()).toBe('Half typed')
    // Somebody else gets the page anew.
    await account(page).click()
    await page.getByTestId('log-out').click()
    await logIn(page, NAMES.operate, PASSWORDS.operate)
    await page.getByTestId('users-hindrance').waitFor()
    expect(await page.getByTestId('new-user-name').count()).toBe(0)
  })
})

describe('what a role may not do is shown with the reason', () => {
  const geometry = { ...exampleGeometryView.geometry, arrows_deg: { drive_side: -90, operator_side: -90 } }

  it.each([
    ['view', 'V. Viewer may look; this needs the role engineer.'],
    ['operate', 'O. Fitter may operate; this needs the role engineer.'],
  ] as const)('%s may neither save the geometry nor change users', async (role, reason) => {
    const page = await openAs(role, '/geometry?zone=infeed')
    await page.getByTestId('save').waitFor()
    expect(await page.getByTestId('save').isDisabled()).toBe(true)
    expect(await textOf(page, 'role-reason')).toContain(reason)
    await page.goto(`${gateway.address}/set-up`)
    await page.getByTestId('users-hindrance').waitFor()
    expect(await textOf(page, 'users-hindrance')).toContain(reason)
  })

  it('engineer may, and signs with the name of the log-in', async () => {
    const { revision } = (await (await api('GET', '/api/zones/infeed/geometry')).json()) as { revision: string }
    await api('PUT', '/api/zones/infeed/geometry', { baseRevision: revision, geometry })
    const page = await openAs('engineer', '/geometry?zone=infeed')
    await page.getByTestId('signed-as').waitFor()
    expect(await textOf(page, 'signed-as')).toBe('Signed as A. Fitter')
    expect(await page.getByTestId('role-reason').count()).toBe(0)
    const { revisions } = (await (await api('GET', '/api/revisions?limit=1')).json()) as {
      revisions: { who: string }[]
    }
    expect(revisions[0]?.who).toBe(NAMES.engineer)
  })
})

describe('users on Set-up', () => {
  it('are added, changed and removed by an engineer, who himself stays while he is the last', async () => {
    const page = await openAs('engineer', '/set-up')
    const user = (name: string) => page.locator(`[data-testid="user"][data-name="${name}"]`)
    await page.getByTestId('new-user-name').fill('N. Fitter')
    await page.getByTestId('new-user-role').selectOption('view')
    await page.getByTestId('add-user').getByTestId('new-password').fill('a few plain words')
    await page.getByTestId('new-user-button').click()
    await user('N. Fitter').getByTestId('user-role').selectOption('operate')
    await expect
      .poll(async () => (await (await api('GET', '/api/users')).json()).users.at(-1)?.role, WITHIN)
      .toBe('operate')
    await user('N. Fitter').getByTestId('user-remove').click()
    await user('N. Fitter').getByTestId('user-remove-sure').click()
    await user('N. Fitter').waitFor({ state: 'detached' })
    expect(await user(NAMES.engineer).getByTestId('user-remove').isDisabled()).toBe(true)
    expect(await user(NAMES.engineer).getByTestId('user-role').isDisabled()).toBe(true)
    expect(await user(NAMES.engineer).textContent()).toContain('The last engineer')
  })

  it('refused says why and keeps what was typed', async () => {
    const page = await openAs('engineer', '/set-up')
    await page.getByTestId('new-user-name').fill(NAMES.view.toUpperCase())
    await page.getByTestId('add-user').getByTestId('new-password').fill('a few plain words')
    await page.getByTestId('new-user-button').click()
    await page.getByTestId('add-user').getByRole('alert').waitFor()
    expect(await page.getByTestId('add-user').getByRole('alert').textContent()).toContain('there is a user')
    expect(await page.getByTestId('new-user-name').inputValue()).toBe(NAMES.view.toUpperCase())
  })

  it('of a gateway without any: no log-in is asked for and the page says so; the first one closes it', async () => {
    const fresh = await startGatewayProcess(twoCells(tcpDevice(1)))
    try {
      const page = await open('/set-up', {}, fresh)
      await page.getByTestId('add-user').waitFor()
      await account(page).click()
      expect(await textOf(page, 'no-log-in')).toContain('this gateway listens to this machine only')
      await page.keyboard.press('Escape')
      await page.getByTestId('new-user-name').fill('First')
      await page.getByTestId('add-user').getByTestId('new-password').fill('a few plain words')
      await page.getByTestId('new-user-button').click()
      await page.getByTestId('log-in').waitFor(WITHIN)
      await logIn(page, 'first', 'a few plain words')
      await page.locator('[data-testid="user"][data-name="First"]').waitFor(WITHIN)
    } finally {
      await fresh.stop()
    }
  })
})

describe('the trail', () => {
  const made = (id: number, kind: StoredEvent['kind'], more: Partial<StoredEvent> = {}): StoredEvent => ({
    id,
    timeMs: 1_760_000_000_000 + id * 60_000,
    kind,
    zone: null,
    who: null,
    text: `Event ${id}.`,
    data: {},
    ...more,
  })
  const EVENTS = Array.from({ length: 150 }, (_, i) =>
    i % 2 === 0
      ? made(i + 1, 'access', {
          who: NAMES.view,
          text: `${NAMES.view} logged in.`,
          data: { address: '192.0.2.7', role: 'view' },
        })
      : made(i + 1, 'alarm', { zone: 'infeed', text: 'Infeed: side difference outside, priority high.' }),
  ).reverse()

  /** A store of 150 events in the place of the gateway's: what is asked is answered by the contract. */
  async function openTrail(path: string, options: Parameters<typeof openPage>[2] = {}, events = EVENTS): Promise<Page> {
    const page = await openAs('view', '/set-up', options)
    await page.route('**/api/events?*', (route) => {
      const query = new URL(route.request().url()).searchParams
      const from = Number(query.get('from') ?? 0)
      const fitting = events.filter(
        ({ id, kind, zone, timeMs }) =>
          (query.get('kind') ?? kind) === kind &&
          (query.get('zone') ?? zone) === zone &&
          timeMs >= from &&
          id < Number(query.get('before') ?? 1e9),
      )
      const shown = fitting.slice(0, Number(query.get('limit')))
      const olderBefore = fitting.length > shown.length ? (shown.at(-1)?.id ?? null) : null
      return route.fulfill({ json: { events: shown, olderBefore } })
    })
    await page.goto(gateway.address + path)
    return page
  }
  const rows = (page: Page) => page.getByTestId('trail-event')

  it('shows the newest first with who and when, and older ones as they are asked for', async () => {
    const page = await openTrail('/trail')
    await expect.poll(() => rows(page).count(), WITHIN).toBe(100)
    expect(await rows(page).nth(1).textContent()).toContain('V. Viewer')
    await rows(page).nth(1).locator('summary').click()
    expect(await rows(page).nth(1).textContent()).toContain('192.0.2.7')
    await page.getByTestId('trail-older').click()
    await expect.poll(() => rows(page).count(), WITHIN).toBe(150)
    expect(await textOf(page, 'trail-end')).toBe('This is the beginning of the trail.')
  })

  it('is filtered by kind, zone and time, which stand in the address', async () => {
    const page = await openTrail('/trail')
    await page.getByTestId('trail-kind').selectOption('alarm')
    await expect.poll(() => rows(page).count(), WITHIN).toBe(75)
    expect(new URL(page.url()).searchParams.get('kind')).toBe('alarm')
    await page.getByTestId('trail-zone').selectOption('infeed')
    await page.getByTestId('trail-from').fill('2099-01-01T00:00')
    await page.getByTestId('trail-empty').waitFor()
    expect(await textOf(page, 'trail-empty')).toContain('Nothing fits this filter')
    await page.reload()
    await page.getByTestId('trail-empty').waitFor()
    await page.getByRole('button', { name: 'Show all' }).click()
    await expect.poll(() => rows(page).count(), WITHIN).toBe(100)
  })

  it('is the gateway’s own: the log-in just made is its newest line, and a refusal is found by its kind', async () => {
    const page = await openAs('operate', '/trail?kind=access')
    await rows(page).first().waitFor(WITHIN)
    expect(await rows(page).first().textContent()).toContain('O. Fitter logged in.')
    expect(await rows(page).allTextContents()).toContainEqual(
      expect.stringContaining('A log-in as V. Viewer was refused.'),
    )
  })

  it('that is empty says what will come', async () => {
    const page = await openTrail('/trail', {}, [])
    await page.getByTestId('trail-empty').waitFor()
    expect(await textOf(page, 'trail-empty')).toContain('Nothing has been recorded yet')
  })

  it('and log-in and users stand on three widths in both themes, readable by everybody', async () => {
    const start = await open('/')
    await start.getByTestId('log-in').waitFor()
    await lookEverywhere(start, 'log-in')
    const page = await openTrail('/trail')
    await rows(page).nth(1).locator('summary').click()
    await lookEverywhere(page, 'trail')
    const users = await openAs('engineer', '/set-up')
    await users.getByTestId('users').scrollIntoViewIfNeeded()
    await lookEverywhere(users, 'users')
    const small = await users
      .locator('#users :is(button, select, input:not([type="checkbox"])), header button')
      .evaluateAll(
        (all) => all.filter((e) => e.getClientRects().length > 0 && e.getBoundingClientRect().height < 43.5).length,
      )
    expect(small).toBe(0)
    await users.setViewportSize({ width: 1440, height: 900 })
    await account(users).click()
    await lookEverywhere(users, 'account')
    // On a phone it stands among the pages and choices.
    await users.getByTestId('to-pages').click()
    await account(users).waitFor()
    expect(await axeViolations(users), 'pages and choices').toEqual([])
    expect(await overflow(users), 'pages and choices').toBe(0)
  })
})

/** axe, nothing wider than the screen, and with SHOTS=FOLDER a picture of each to be looked at. */
async function lookEverywhere(page: Page, name: string): Promise<void> {
  for (const width of [1440, 1024, 390]) {
    await page.setViewportSize({ width, height: 900 })
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme })
      await page.waitForFunction((theme) => document.documentElement.dataset.theme === theme, colorScheme)
      const where = `${name}-${width}-${colorScheme}`
      expect(await axeViolations(page), where).toEqual([])
      expect(await overflow(page), where).toBe(0)
      if (process.env.SHOTS !== undefined) await page.screenshot({ path: `${process.env.SHOTS}/${where}.png` })
    }
  }
}
