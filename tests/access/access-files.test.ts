import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { Access } from '../../gateway/access/access.ts'
import type { Caller } from '../../gateway/access/caller.ts'
import { sessionFileOf } from '../../gateway/access/session-file.ts'
import { editUsers, userFileOf } from '../../gateway/access/user-file.ts'
import { changeUser, removeUser } from '../../gateway/access/users.ts'
import type { NewEvent } from '../../shared/schemas/events.ts'
import { accessOptions, CLIENT, codeOf, cookieOf, LIMITS, PASSWORDS } from './support/made-access.ts'

describe('kept beside the config', () => {
  let folder: string
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'evenpull-access-'))
  })
  const running: Access[] = []
  afterEach(async () => {
    await Promise.all(running.splice(0).map((access) => access.save()))
    await rm(folder, { recursive: true, force: true })
  })

  const files = () => {
    const config = join(folder, 'line.yaml')
    return { users: userFileOf(config), sessions: sessionFileOf(config) }
  }
  async function opened(nowEpochMs = () => 1_760_000_000_000) {
    const events: NewEvent[] = []
    const log: string[] = []
    const access = await Access.open(
      accessOptions({
        files: files(),
        nowEpochMs,
        event: (event) => events.push(event),
        log: (line) => log.push(line),
      }),
    )
    running.push(access)
    return { access, events, log, texts: () => events.map(({ text }) => text) }
  }
  const OPEN_CALLER: Caller = { kind: 'open' }
  const ANNA = { name: 'Anna', role: 'engineer', password: PASSWORDS.engineer } as const

  it('the file holds no password, no token and no session id, and only its owner may read it', async () => {
    const { access } = await opened()
    await access.addUser(ANNA, OPEN_CALLER)
    const { cookie } = await access.logIn('Anna', ANNA.password, CLIENT)
    await access.save()
    const bytes = Buffer.concat([await readFile(files().users), await readFile(files().sessions)]).toString('latin1')
    const id = cookieOf(cookie)?.split('=')[1] ?? ''
    for (const secret of [
      ANNA.password,
      Buffer.from(ANNA.password).toString('base64'),
      Buffer.from(ANNA.password).toString('hex'),
      id,
    ])
      expect(bytes).not.toContain(secret)
    for (const file of Object.values(files())) expect((await stat(file)).mode & 0o777).toBe(0o600)
  })

  it('sessions survive a restart; a file that cannot be read logs everybody out and lets nobody in', async () => {
    const first = await opened()
    await first.access.addUser(ANNA, OPEN_CALLER)
    const { cookie } = await first.access.logIn('Anna', ANNA.password, CLIENT)
    await first.access.save()
    const credentials = { cookie: cookieOf(cookie) }
    expect((await opened()).access.callerOf(credentials, CLIENT)).toMatchObject({ name: 'Anna' })
    const later = await opened(() => 1_760_000_000_000 + LIMITS.idleMs)
    expect(later.access.callerOf(credentials, CLIENT).kind).toBe('stranger')
    expect(later.texts()).toContain('A session of Anna ended: its time was over.')
    await writeFile(files().sessions, '{"version":1,"sessions":"none"}')
    expect((await opened()).access.callerOf(credentials, CLIENT).kind).toBe('stranger')
  })

  it('a change from the command line comes into force while the gateway runs, and is in the trail', async () => {
    const { access, texts } = await opened()
    await access.addUser(ANNA, OPEN_CALLER)
    const { caller } = await access.logIn('Anna', ANNA.password, CLIENT)
    await editUsers(files().users, (users) =>
      changeUser(users, 'Anna', { stamp: 'new', password: users[0]?.password?.replace(/.$/, 'x') ?? null }),
    )
    expect(access.isCurrent(caller)).toBe(true)
    await access.tick()
    expect(access.isCurrent(caller)).toBe(false)
    expect(texts()).toContain('The password of Anna was changed from the command line.')
  })

  it('a change made while the gateway did not run is told when it runs again', async () => {
    const { access } = await opened()
    await access.addUser(ANNA, OPEN_CALLER)
    await access.addUser({ ...ANNA, name: 'Ben' }, OPEN_CALLER)
    await access.save()
    await editUsers(files().users, (users) => removeUser(users, 'Ben'))
    expect((await opened()).texts()).toEqual(['User Ben was removed while the gateway did not run.'])
    expect((await opened()).texts()).toEqual([])
  })

  it.each(['', '{', '[]', '{"version":1}', '{"version":2,"users":[]}', '{"version":1,"users":[{"name":"x"}]}'])(
    'a file of users that cannot be understood opens nothing: %s',
    async (text) => {
      const { access, log } = await opened()
      await access.addUser(ANNA, OPEN_CALLER)
      await writeFile(files().users, text)
      expect(await codeOf(opened())).toBe('EVP_USERS_FILE')
      // … and while it runs, whoever was known goes on being asked.
      await access.tick()
      await access.tick()
      expect(access.callerOf({}, CLIENT).kind).toBe('stranger')
      expect(await codeOf(access.logIn('Anna', ANNA.password, CLIENT))).toBe('done')
      expect(log.filter((line) => line.includes('stay in force'))).toHaveLength(1)
    },
  )

  it('a file of users that vanishes opens nothing while the gateway runs', async () => {
    const { access } = await opened()
    await access.addUser(ANNA, OPEN_CALLER)
    await rm(files().users)
    await access.tick()
    expect(access.callerOf({}, CLIENT).kind).toBe('stranger')
  })

  it('two that change users at once both have it', async () => {
    const { access } = await opened()
    await access.addUser(ANNA, OPEN_CALLER)
    const other = await opened()
    const names = Array.from({ length: 12 }, (_, i) => `user ${i}`)
    await Promise.all(
      names.map((name, i) => (i % 2 === 0 ? access : other.access).addUser({ ...ANNA, name }, OPEN_CALLER)),
    )
    await access.tick()
    expect(
      access
        .users()
        .users.map(({ name }) => name)
        .sort(),
    ).toEqual(['Anna', ...names].sort())
  })
})
