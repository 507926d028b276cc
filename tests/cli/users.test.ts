import { EventEmitter } from 'node:events'
import { mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { isPassword } from '../../gateway/access/password-hash.ts'
import { keyOf } from '../../gateway/access/secret.ts'
import { readUsers, userFileOf } from '../../gateway/access/user-file.ts'
import { askHidden, readAll } from '../../gateway/cli/secrets.ts'
import { Gateway } from '../../gateway/gateway.ts'
import { evenpull, evenpullWith } from './support.ts'

let folder: string
let config: string
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'evenpull-users-'))
  config = join(folder, 'line.yaml')
  await writeFile(config, 'version: 1\n')
})
afterEach(() => rm(folder, { recursive: true, force: true }))

const PASSWORD = 'weights on a rope'
const typing = (...answers: string[]) => ({
  secrets: { ask: async () => answers.shift() ?? '', fromStdin: async () => answers.shift() ?? '' },
})
const users = (answers: string[], ...args: string[]) => evenpullWith(typing(...answers), 'users', ...args)
const addAnna = () => users([PASSWORD], 'add', config, 'Anna', '--role', 'engineer', '--stdin')
const kept = () => readUsers(userFileOf(config))

describe('evenpull users', () => {
  test('add asks twice for a password that is nowhere kept, and list shows who there is', async () => {
    expect(await users([PASSWORD, PASSWORD], 'add', config, 'Anna', '--role', 'engineer')).toEqual({
      code: 0,
      out: 'User Anna was added with the role engineer.',
      err: '',
    })
    expect(await readFile(userFileOf(config), 'utf8')).not.toContain(PASSWORD)
    expect((await stat(userFileOf(config))).mode & 0o777).toBe(0o600)
    expect(await isPassword(PASSWORD, (await kept())[0]?.password ?? '')).toBe(true)
    expect((await evenpull('users', 'list', config)).out).toBe('Anna  engineer  password')
    const { out } = await evenpull('users', 'list', config, '--json')
    expect(JSON.parse(out)).toMatchObject({ ok: true, users: [{ name: 'Anna', role: 'engineer', hasPassword: true }] })
  })

  test('list of none says that nobody has to log in', async () => {
    expect(await evenpull('users', 'list', config)).toMatchObject({ code: 0, out: expect.stringContaining('no users') })
  })

  test('password, role and token change what they say, and each new stamp ends sessions', async () => {
    await addAnna()
    await users(['another of them'], 'add', config, 'Ben', '--role', 'view', '--stdin')
    const stampOf = async (name: string) => (await kept()).find((user) => user.name === name)?.stamp
    const before = await stampOf('Ben')
    expect((await users([], 'role', config, 'ben', '--role', 'operate')).out).toBe('The role is operate now.')
    const between = await stampOf('Ben')
    expect((await users(['yet another one'], 'password', config, 'Ben', '--stdin')).out).toBe(
      'The password was changed.',
    )
    const [, ben] = await kept()
    expect(new Set([before, between, ben?.stamp]).size).toBe(3)
    expect(ben?.role).toBe('operate')
    expect(await isPassword('yet another one', ben?.password ?? '')).toBe(true)
  })

  test('token prints it once and keeps its hash; --remove takes it away', async () => {
    await addAnna()
    const { out, err } = await evenpull('users', 'token', config, 'Anna')
    const token = out.split('\n')[1] ?? ''
    expect(token).toMatch(/^evp_[\w-]{43}$/)
    expect(err).toContain('only its hash is stored')
    expect((await kept())[0]?.token?.sha256).toBe(keyOf(token))
    expect(await readFile(userFileOf(config), 'utf8')).not.toContain(token)
    await evenpull('users', 'token', config, 'Anna', '--remove')
    expect((await kept())[0]?.token).toBeNull()
  })

  test('a machine has a token and no password', async () => {
    await addAnna()
    const { out } = await evenpull('users', 'add', config, 'Collector', '--role', 'view', '--machine', '--json')
    const { token, user } = JSON.parse(out)
    expect(user).toMatchObject({ name: 'Collector', hasPassword: false })
    expect((await kept())[1]).toMatchObject({ password: null, token: { sha256: keyOf(token) } })
  })

  test('remove takes a user away, but not the last engineer with a password', async () => {
    await addAnna()
    await users(['another of them'], 'add', config, 'Ben', '--role', 'view', '--stdin')
    await evenpull('users', 'add', config, 'Robot', '--role', 'engineer', '--machine')
    expect((await evenpull('users', 'remove', config, 'Ben')).code).toBe(0)
    const last = await evenpull('users', 'remove', config, 'Anna')
    expect([last.code, last.err]).toEqual([1, expect.stringContaining('EVP_USER_INVALID')])
    expect((await kept()).map(({ name }) => name)).toEqual(['Anna', 'Robot'])
  })

  test.each([
    [
      'a first user who is no engineer',
      ['add', 'CONFIG', 'Anna', '--role', 'view', '--stdin'],
      1,
      'the first user has to be an engineer',
    ],
    ['no role', ['add', 'CONFIG', 'Anna', '--stdin'], 2, 'needs --role'],
    ['a role there is not', ['add', 'CONFIG', 'Anna', '--role', 'enginer', '--stdin'], 2, 'engineer'],
    ['an action there is not', ['ad', 'CONFIG', 'Anna'], 2, 'did you mean add'],
    ['no config', ['list'], 2, 'needs CONFIG'],
    ['no name', ['remove', 'CONFIG'], 2, 'needs NAME'],
    ['a name too many', ['list', 'CONFIG', 'Anna'], 2, 'takes no NAME'],
    ['a word too many', ['remove', 'CONFIG', 'Anna', 'Ben'], 2, 'takes ACTION CONFIG [NAME]'],
    ['a config that is not there', ['list', '/nowhere/line.yaml'], 3, 'EVP_CONFIG_NOT_FOUND'],
    [
      'a name with a colon',
      ['add', 'CONFIG', 'An:na', '--role', 'engineer', '--stdin'],
      1,
      'a colon is not part of a name',
    ],
    ['a user there is not', ['role', 'CONFIG', 'Nobody', '--role', 'view'], 1, 'no user "Nobody"'],
    [
      'a machine with a password',
      ['add', 'CONFIG', 'M', '--role', 'view', '--machine', '--stdin'],
      2,
      'leave --stdin out',
    ],
  ] as const)('%s is refused, and nothing is written', async (_title, args, code, words) => {
    const result = await users([PASSWORD], ...args.map((word) => (word === 'CONFIG' ? config : word)))
    expect([result.code, result.err]).toEqual([code, expect.stringContaining(words)])
    expect(await kept()).toEqual([])
  })

  test.each([
    ['too short', ['short'], '10 characters'],
    ['of one character', ['aaaaaaaaaaaaaaa'], 'guessed at once'],
    ['not the same twice', [PASSWORD, `${PASSWORD}!`], 'not the same'],
  ] as const)('a password that is %s is refused, and nothing is written', async (_title, answers, words) => {
    const result = await users([...answers], 'add', config, 'Anna', '--role', 'engineer')
    expect([result.code, result.err]).toEqual([2, expect.stringContaining(words)])
    expect(await kept()).toEqual([])
  })

  test('a name that is taken in other capitals is refused before a password is asked for', async () => {
    await addAnna()
    let asked = 0
    const ask = async () => {
      asked += 1
      return PASSWORD
    }
    const secrets = { ask, fromStdin: ask }
    const result = await evenpullWith({ secrets }, 'users', 'add', config, 'ANNA', '--role', 'view')
    expect([result.code, asked]).toEqual([1, 0])
  })

  test('a file of users that is broken is said to be, and stays as it is', async () => {
    await addAnna()
    await writeFile(userFileOf(config), '{')
    const result = await users([PASSWORD], 'add', config, 'Ben', '--role', 'view', '--stdin')
    expect([result.code, result.err]).toEqual([3, expect.stringContaining('EVP_USERS_FILE')])
    expect(await readFile(userFileOf(config), 'utf8')).toBe('{')
  })
})

describe('check and run', () => {
  const NETWORK = `version: 1
gateway: { host: "0.0.0.0" }
devices: [{ id: amp, transport: modbus-tcp, host: 127.0.0.1 }]
channels: [{ id: cell, device: amp, register: { address: 0 }, force: { gain: 1, capacity: 100 } }]
zones: [{ id: infeed, cells: { single: cell } }]
`

  const quiet = { log: () => {}, failed: () => {} }

  test('an address that others can reach is refused until there is a user', async () => {
    await writeFile(config, NETWORK)
    const { code, out } = await evenpull('check', config)
    expect([code, out]).toEqual([1, expect.stringContaining('line.yaml:2:18: gateway: host: binding to 0.0.0.0')])
    expect(out).toContain('EVP_BIND_OPEN')
    await expect(Gateway.start({ ...quiet, configPath: config })).rejects.toMatchObject({ code: 'EVP_BIND_OPEN' })
    await addAnna()
    expect((await evenpull('check', config)).code).toBe(0)
  })

  test('a file of users that is broken ends the start, and nothing is left behind', async () => {
    await writeFile(config, NETWORK)
    await addAnna()
    await writeFile(userFileOf(config), '{')
    const before = await readdir(join(folder, '.evenpull'))
    await expect(Gateway.start({ ...quiet, configPath: config })).rejects.toMatchObject({ code: 'EVP_USERS_FILE' })
    expect(await readdir(join(folder, '.evenpull'))).toEqual(before)
  })

  test('an address given on the command line is held to the same', async () => {
    await writeFile(config, NETWORK.replace('0.0.0.0', '127.0.0.1'))
    const started = Gateway.start({ ...quiet, configPath: config, host: '::' })
    await expect(started).rejects.toMatchObject({
      code: 'EVP_BIND_OPEN',
      remedy: expect.stringContaining(`evenpull users add ${config} NAME --role engineer`),
    })
  })
})

describe('a password typed at a terminal', () => {
  function terminal() {
    const modes: boolean[] = []
    const input = Object.assign(new EventEmitter(), {
      isTTY: true,
      setRawMode: (raw: boolean) => modes.push(raw),
      resume: () => {},
      pause: () => {},
    })
    const shown: string[] = []
    const asked = askHidden(
      input as unknown as Parameters<typeof askHidden>[0],
      (text) => shown.push(text),
      'Password: ',
    )
    return { input, modes, shown, asked }
  }

  test('is not shown, may be corrected, and leaves the terminal as it was', async () => {
    const { input, modes, shown, asked } = terminal()
    for (const keys of ['wrong\u0015', 'wei', 'x\u007f', 'ghts', ' on a rope\r']) input.emit('data', Buffer.from(keys))
    expect(await asked).toBe('weights on a rope')
    expect(shown).toEqual(['Password: ', '\n'])
    expect(modes).toEqual([true, false])
    expect(input.listenerCount('data')).toBe(0)
  })

  test('is broken off by Ctrl-C', async () => {
    const { input, modes, asked } = terminal()
    input.emit('data', Buffer.from('abc\u0003'))
    await expect(asked).rejects.toMatchObject({ code: 'EVP_USAGE' })
    expect(modes.at(-1)).toBe(false)
  })

  test('without a terminal the way is named', () => {
    expect(() => askHidden({ isTTY: false } as never, () => {}, '')).toThrow('--stdin')
  })

  test('on standard input it is all but one line end', async () => {
    expect(await readAll(Readable.from([Buffer.from('weights on'), Buffer.from(' a rope \r\n')]))).toBe(
      'weights on a rope ',
    )
    await expect(readAll(Readable.from([Buffer.alloc(5000)]))).rejects.toMatchObject({ code: 'EVP_USAGE' })
  })
})
