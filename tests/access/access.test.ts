import { describe, expect, it } from 'vitest'
import type { Access } from '../../gateway/access/access.ts'
import type { Caller } from '../../gateway/access/caller.ts'
import {
  bearer,
  CLIENT,
  codeOf,
  cookieOf,
  LIMITS,
  madeAccess,
  NAMES,
  oneOfEach,
  PASSWORDS,
  storedUser,
  TOKENS,
} from './support/made-access.ts'

const thrown = (act: () => void) => {
  try {
    act()
    return 'nothing'
  } catch (error) {
    return (error as { code?: string }).code
  }
}

describe('without users', () => {
  it('bound to loopback everybody may do everything, and nobody is asked for a name', () => {
    const { access } = madeAccess([])
    const caller = access.callerOf({}, CLIENT)
    expect(caller).toEqual({ kind: 'open' })
    access.require(caller, 'engineer', 'all', CLIENT)
    expect(access.view(caller, CLIENT)).toEqual({ login: 'off', user: null, encrypted: false, thisMachineOnly: true })
  })

  it('bound to the network nobody may do anything', () => {
    const { access } = madeAccess([], { thisMachineOnly: false })
    const caller = access.callerOf({}, CLIENT)
    expect(thrown(() => access.require(caller, 'view', 'reading', CLIENT))).toBe('EVP_LOGIN_NEEDED')
    expect(access.view(caller, CLIENT).login).toBe('on')
  })

  it('the first one has to be an engineer, and closes what was open', async () => {
    const { access, events } = madeAccess([])
    const open = access.callerOf({}, CLIENT)
    const user = { name: 'Anna', password: 'weights on a rope' }
    expect(await codeOf(access.addUser({ ...user, role: 'operate' }, open))).toBe('EVP_USER_INVALID')
    expect(access.isCurrent(open)).toBe(true)
    await access.addUser({ ...user, role: 'engineer' }, open)
    expect(access.isCurrent(open)).toBe(false)
    expect(access.callerOf({}, CLIENT).kind).toBe('stranger')
    expect(events.map(({ text }) => text)).toEqual(['User Anna was added with the role engineer.'])
  })
})

describe('a log-in', () => {
  it('gives a session that says who it is and what he may do', async () => {
    const { access, events } = madeAccess(await oneOfEach())
    const { cookie } = await access.logIn(NAMES.operate, PASSWORDS.operate, CLIENT)
    const caller = access.callerOf({ cookie: cookieOf(cookie) }, CLIENT)
    expect(caller).toMatchObject({ kind: 'user', name: 'O. Fitter', role: 'operate', by: 'session' })
    access.require(caller, 'operate', 'a note', CLIENT)
    expect(thrown(() => access.require(caller, 'engineer', 'PUT /x', CLIENT))).toBe('EVP_ROLE')
    expect(events.map(({ who, text, kind }) => [kind, who, text])).toEqual([
      ['access', 'O. Fitter', 'O. Fitter logged in.'],
      ['access', 'O. Fitter', 'O. Fitter (operate) was refused: PUT /x needs the role engineer.'],
    ])
  })

  it('takes the name in any capitals', async () => {
    const { access } = madeAccess(await oneOfEach())
    expect((await access.logIn(' a. FITTER', PASSWORDS.engineer, CLIENT)).caller).toMatchObject({ name: 'A. Fitter' })
  })

  it('says the same whether the name or the password is wrong, and writes down no name that nobody has', async () => {
    const made = madeAccess(await oneOfEach())
    const messages = await Promise.all(
      [NAMES.view, 'my secret password'].map((name) =>
        made.access.logIn(name, 'wrong', CLIENT).catch((e: Error) => e.message),
      ),
    )
    expect(messages).toEqual(['name or password is wrong', 'name or password is wrong'])
    expect(JSON.stringify(made.events)).not.toContain('my secret password')
    expect(made.events.map(({ text, who }) => [who, text])).toEqual([
      [null, 'A log-in as V. Viewer was refused.'],
      [null, 'A log-in under a name nobody has was refused.'],
    ])
  })

  it('that failed often has to wait, right password or not, and the waiting ends', async () => {
    const made = madeAccess(await oneOfEach())
    for (let i = 0; i < 3; i++)
      expect(await codeOf(made.access.logIn(NAMES.view, 'wrong', CLIENT))).toBe('EVP_LOGIN_REFUSED')
    expect(await codeOf(made.access.logIn(NAMES.view, PASSWORDS.view, CLIENT))).toBe('EVP_TOO_MANY')
    made.nowMs += 1000
    expect(await codeOf(made.access.logIn(NAMES.view, PASSWORDS.view, CLIENT))).toBe('done')
  })

  it('as a machine without a password is refused', async () => {
    const { access } = madeAccess([
      ...(await oneOfEach()),
      { ...(await storedUser('view', 'Collector')), password: null },
    ])
    for (const password of ['', 'null', 'nobody'])
      expect(await codeOf(access.logIn('Collector', password, CLIENT))).toBe('EVP_LOGIN_REFUSED')
  })

  it('as the name under which nothing is kept is refused whatever is typed', async () => {
    const { access } = madeAccess(await oneOfEach())
    expect(await codeOf(access.logIn('nobody', 'nobody', CLIENT))).toBe('EVP_LOGIN_REFUSED')
  })

  it('waits for its turn among a few, and is turned away among many', async () => {
    const { access } = madeAccess(await oneOfEach())
    const codes = await Promise.all(
      Array.from({ length: 40 }, (_, i) =>
        codeOf(access.logIn(`name ${i}`, 'x', { ...CLIENT, address: `192.0.2.${i}` })),
      ),
    )
    expect(codes.filter((code) => code === 'EVP_LOGIN_REFUSED')).toHaveLength(16)
    expect(codes.filter((code) => code === 'EVP_TOO_MANY')).toHaveLength(24)
  })
})

describe('what was let in ends', () => {
  async function logged() {
    const made = madeAccess(await oneOfEach())
    const { cookie } = await made.access.logIn(NAMES.operate, PASSWORDS.operate, CLIENT)
    const callerNow = () => made.access.callerOf({ cookie: cookieOf(cookie) }, CLIENT)
    let told = 0
    made.access.onChange(() => {
      told += 1
    })
    return { made, callerNow, caller: callerNow(), told: () => told }
  }
  const engineer: Caller = { kind: 'user', name: NAMES.engineer, role: 'engineer', by: 'token', key: '' }

  it('by logging out', async () => {
    const { made, caller, callerNow, told } = await logged()
    expect(made.access.logOut(caller, CLIENT)).toContain('Max-Age=0')
    expect([made.access.isCurrent(caller), callerNow().kind, told()]).toEqual([false, 'stranger', 1])
    made.access.logOut(caller, CLIENT)
    expect(made.events.filter(({ text }) => text.includes('logged out'))).toHaveLength(1)
  })

  it('by idling: said once, and whoever listens is told', async () => {
    const { made, caller, callerNow, told } = await logged()
    made.nowMs += LIMITS.idleMs
    expect([made.access.isCurrent(caller), callerNow().kind]).toEqual([false, 'stranger'])
    await made.access.tick()
    await made.access.tick()
    expect(told()).toBe(1)
    expect(made.events.filter(({ text }) => text === 'A session of O. Fitter ended: its time was over.')).toHaveLength(
      1,
    )
  })

  it.each([
    ['a changed role', (access: Access) => access.changeUser(NAMES.operate, { role: 'view' }, engineer)],
    [
      'a changed password',
      (access: Access) => access.changeUser(NAMES.operate, { password: 'another one of them' }, engineer),
    ],
    ['the user’s removal', (access: Access) => access.removeUser(NAMES.operate, engineer)],
    [
      'removal, also when the same name comes back',
      async (access: Access) => {
        await access.removeUser(NAMES.operate, engineer)
        await access.addUser({ name: NAMES.operate, role: 'operate', password: PASSWORDS.operate }, engineer)
      },
    ],
  ] as const)('by %s', async (_title, act) => {
    const { made, caller, callerNow, told } = await logged()
    await act(made.access)
    expect([made.access.isCurrent(caller), callerNow().kind]).toEqual([false, 'stranger'])
    expect(told()).toBeGreaterThan(0)
    expect(made.events.map(({ who }) => who)).toContain(NAMES.engineer)
  })

  it('not by a change of somebody else', async () => {
    const { made, caller, callerNow } = await logged()
    await made.access.changeUser(NAMES.view, { role: 'operate' }, engineer)
    expect([made.access.isCurrent(caller), callerNow().kind]).toEqual([true, 'user'])
  })

  it('never so that nobody could change users any more', async () => {
    const { made } = await logged()
    expect(await codeOf(made.access.removeUser(NAMES.engineer, engineer))).toBe('EVP_USER_INVALID')
    expect(await codeOf(made.access.changeUser(NAMES.engineer, { role: 'operate' }, engineer))).toBe('EVP_USER_INVALID')
    expect(await codeOf(made.access.removeUser('Nobody', engineer))).toBe('EVP_NOT_FOUND')
    expect(made.access.users().users).toHaveLength(3)
  })
})

describe('a token', () => {
  it('lets a machine in with the role of its user, as Bearer or as the password of Basic', async () => {
    const { access } = madeAccess(await oneOfEach())
    const basic = (name: string) => ({
      authorization: `Basic ${Buffer.from(`${name}:${TOKENS.view}`).toString('base64')}`,
    })
    for (const credentials of [bearer('view'), basic(NAMES.view), basic('v. viewer')]) {
      const caller = access.callerOf(credentials, CLIENT)
      expect(caller).toMatchObject({ name: NAMES.view, role: 'view', by: 'token' })
      expect(access.isCurrent(caller)).toBe(true)
    }
    expect(access.callerOf(basic(NAMES.engineer), CLIENT).kind).toBe('stranger')
  })

  it('that is unknown, a password, or nothing lets nobody in', async () => {
    const { access } = madeAccess([{ ...(await storedUser('engineer')), token: null }])
    for (const token of ['x', PASSWORDS.engineer.replaceAll(' ', ''), 'null', 'undefined', TOKENS.engineer])
      expect(access.callerOf({ authorization: `Bearer ${token}` }, CLIENT).kind).toBe('stranger')
  })
})

describe('refusals', () => {
  it('of one kind are in the trail once a minute, however often they come', async () => {
    const made = madeAccess(await oneOfEach())
    const ask = () => thrown(() => made.access.require({ kind: 'stranger' }, 'view', 'GET /api/health', CLIENT))
    for (let i = 0; i < 500; i++) expect(ask()).toBe('EVP_LOGIN_NEEDED')
    expect(made.events).toHaveLength(1)
    made.nowMs += 60_000
    ask()
    expect(made.events).toHaveLength(2)
    for (let i = 0; i < 5000; i++)
      thrown(() => made.access.require({ kind: 'stranger' }, 'view', 'x', { ...CLIENT, address: `address ${i}` }))
    expect(made.events.length).toBeLessThan(1100)
  })
})

describe('a password that its own user changes', () => {
  const CHANGE = { present: PASSWORDS.view, password: 'a roll on two cells' }

  it('ends every other session of his and goes on in this one; the new one lets in, the old one does not', async () => {
    const { access, events } = madeAccess(await oneOfEach())
    const first = await access.logIn(NAMES.view, PASSWORDS.view, CLIENT)
    const second = await access.logIn(NAMES.view, PASSWORDS.view, CLIENT)
    const other = await access.logIn(NAMES.operate, PASSWORDS.operate, CLIENT)
    let wasCurrent = false
    access.onChange(() => {
      wasCurrent = access.isCurrent(first.caller)
    })
    await access.changeOwnPassword(first.caller, CHANGE, CLIENT)
    expect(wasCurrent, 'his sockets are not closed under him').toBe(true)
    expect(access.callerOf({ cookie: cookieOf(first.cookie) }, CLIENT)).toEqual(first.caller)
    expect(access.callerOf({ cookie: cookieOf(second.cookie) }, CLIENT)).toEqual({ kind: 'stranger' })
    expect(access.callerOf({ cookie: cookieOf(other.cookie) }, CLIENT)).toEqual(other.caller)
    expect(await codeOf(access.logIn(NAMES.view, PASSWORDS.view, CLIENT))).toBe('EVP_LOGIN_REFUSED')
    expect(await codeOf(access.logIn(NAMES.view, CHANGE.password, CLIENT))).toBe('done')
    expect(events.find(({ text }) => text.startsWith('The password of'))).toMatchObject({ who: NAMES.view })
  })

  it('needs the present one, and guessing at it has to wait like a log-in', async () => {
    const watched = madeAccess(await oneOfEach())
    const { caller } = await watched.access.logIn(NAMES.view, PASSWORDS.view, CLIENT)
    const guess = () => codeOf(watched.access.changeOwnPassword(caller, { ...CHANGE, present: 'a guess' }, CLIENT))
    for (let i = 0; i < 3; i++) expect(await guess()).toBe('EVP_LOGIN_REFUSED')
    expect(await guess()).toBe('EVP_TOO_MANY')
    expect(await codeOf(watched.access.changeOwnPassword(caller, CHANGE, CLIENT))).toBe('EVP_TOO_MANY')
    watched.nowMs += 60_000
    expect(await codeOf(watched.access.changeOwnPassword(caller, CHANGE, CLIENT))).toBe('done')
  })

  it('is for nobody who has none: a machine with a token, a gateway without users', async () => {
    const { access } = madeAccess(await oneOfEach())
    const machine = access.callerOf(bearer('engineer'), CLIENT)
    expect(await codeOf(access.changeOwnPassword(machine, CHANGE, CLIENT))).toBe('EVP_USER_INVALID')
    expect(await codeOf(madeAccess([]).access.changeOwnPassword({ kind: 'open' }, CHANGE, CLIENT))).toBe(
      'EVP_USER_INVALID',
    )
  })
})
