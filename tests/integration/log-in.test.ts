import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { request as plainRequest, type RequestOptions } from 'node:http'
import { request as tlsRequest } from 'node:https'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest'
import WebSocket, { type ClientOptions } from 'ws'
import { stringify } from 'yaml'
import { CLOSE_LOGGED_OUT, STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'
import type { ConfigInput } from '../../shared/schemas/config.ts'
import { bearer, NAMES, PASSWORDS, seedUsers } from '../access/support/made-access.ts'
import { tcpDevice, twoCells } from './support/cell-config.ts'
import { makeCertificate } from './support/certificate.ts'
import { evenpull } from './support/evenpull.ts'
import { missing, titled } from './support/installed.ts'
import { end, type PipedProcess, start, untilPrinted } from './support/processes.ts'

const EVENPULL = fileURLToPath(new URL('../../gateway/cli/evenpull.mjs', import.meta.url))
/** An address of this machine alone that is not among the names of loopback: held to be the network. */
const NETWORK = '::ffff:127.0.0.1'

let folder: string
let config: string
const running: PipedProcess[] = []
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'evenpull-log-in-'))
  config = join(folder, 'line.yaml')
})
afterEach(async () => {
  for (const child of running.splice(0)) await end(child)
  rmSync(join(folder, '.evenpull'), { recursive: true, force: true })
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

async function startGateway(gateway: ConfigInput['gateway'] = {}): Promise<URL> {
  writeFileSync(config, stringify({ ...twoCells(tcpDevice(1)), gateway: { ...gateway, port: 0 } }))
  const child = start(process.execPath, [EVENPULL, 'run', config, '--json'])
  running.push(child)
  const [, address = ''] = await untilPrinted(child, /"address":"([^"]+)"/)
  return new URL(address)
}

interface Reply {
  readonly status: number
  readonly cookie: string
  readonly text: string
}

function ask(to: URL, path: string, options: RequestOptions & { ca?: string; send?: unknown } = {}): Promise<Reply> {
  const { send, ...rest } = options
  const body = send === undefined ? undefined : JSON.stringify(send)
  const headers = { ...(body === undefined ? {} : { 'content-type': 'application/json' }), ...rest.headers }
  const request = to.protocol === 'https:' ? tlsRequest : plainRequest
  return new Promise((resolve, reject) => {
    const req = request({ host: '127.0.0.1', port: to.port, path, agent: false, ...rest, headers }, (res) => {
      let text = ''
      res.setEncoding('utf8')
      res.on('data', (chunk) => {
        text += chunk
      })
      res.on('end', () => resolve({ status: res.statusCode ?? 0, cookie: res.headers['set-cookie']?.[0] ?? '', text }))
    })
    req.on('error', reject)
    req.end(body)
  })
}

const logIn = (to: URL, role: keyof typeof NAMES, options: Parameters<typeof ask>[2] = {}) =>
  ask(to, '/api/session', { method: 'POST', send: { name: NAMES[role], password: PASSWORDS[role] }, ...options })
const held = ({ cookie }: Reply) => ({ cookie: cookie.split(';')[0] ?? '' })

/** A stream socket: resolves to what became of it, open or refused. */
function openStream(
  to: URL,
  options: ClientOptions,
): Promise<{ opened: boolean; closed: Promise<number>; end(): void }> {
  const scheme = to.protocol === 'https:' ? 'wss' : 'ws'
  const socket = new WebSocket(`${scheme}://127.0.0.1:${to.port}${STREAM_PATH}`, SUBPROTOCOL, options)
  const closed = new Promise<number>((resolve) => socket.once('close', resolve))
  return new Promise((resolve) => {
    socket.once('open', () => resolve({ opened: true, closed, end: () => socket.terminate() }))
    socket.once('error', () => resolve({ opened: false, closed, end: () => {} }))
  })
}

describe('a gateway that others can reach', () => {
  it('does not start before there is a user, says how to add one, and starts then', async () => {
    writeFileSync(config, stringify({ ...twoCells(tcpDevice(1)), gateway: { host: NETWORK, port: 0 } }))
    const refused = await evenpull('', 'run', config)
    expect([refused.code, refused.err]).toEqual([1, expect.stringContaining('EVP_BIND_OPEN')])
    expect(refused.err).toContain(`evenpull users add ${config} NAME --role engineer`)
    const added = await evenpull('weights on a rope\n', 'users', 'add', config, 'Anna', '--role', 'engineer', '--stdin')
    expect(added).toEqual({ code: 0, out: 'User Anna was added with the role engineer.\n', err: '' })
    const gateway = await startGateway({ host: NETWORK })
    expect((await ask(gateway, '/api/health')).status).toBe(401)
    const origin = { headers: { origin: `http://127.0.0.1:${gateway.port}` } }
    const send = { name: 'anna', password: 'weights on a rope' }
    expect((await ask(gateway, '/api/session', { method: 'POST', send, ...origin })).status).toBe(200)
  })

  it('takes a log-in only from its own page, and a write by token from a script, which has no page', async () => {
    await seedUsers(folder)
    const gateway = await startGateway({ host: NETWORK })
    expect((await logIn(gateway, 'engineer')).status).toBe(403)
    const name = encodeURIComponent(NAMES.view)
    const change = { method: 'PUT', send: { role: 'operate' } }
    const byScript = await ask(gateway, `/api/users/${name}`, { ...change, headers: bearer('engineer') })
    expect(byScript.status, byScript.text).toBe(200)
    const stranger = { ...bearer('engineer'), origin: 'http://stranger.example' }
    expect((await ask(gateway, `/api/users/${name}`, { ...change, headers: stranger })).status).toBe(403)
    const stream = await openStream(gateway, { headers: bearer('view') })
    expect(stream.opened).toBe(true)
    stream.end()
  })
})

describe('with users', () => {
  it('what is let in, what ends it, and what a wrong password costs', async () => {
    await seedUsers(folder)
    const gateway = await startGateway()
    await figuresAreForTheLoggedInAlone(gateway)
    await socketsCloseWithTheirSession(gateway)
    await guessingIsMadeToWait(gateway)
  })

  async function figuresAreForTheLoggedInAlone(gateway: URL) {
    const session = await logIn(gateway, 'view')
    expect(session.cookie).toMatch(
      new RegExp(`^evenpull-${gateway.port}=[\\w-]{43}; Path=/; Max-Age=604800; HttpOnly; SameSite=Strict$`),
    )
    for (const path of ['/metrics', '/api/health', '/api/zones', '/api/openapi.json']) {
      expect((await ask(gateway, path)).status, path).toBe(401)
      for (const headers of [held(session), bearer('view')])
        expect((await ask(gateway, path, { headers })).status, path).toBe(200)
    }
    expect((await openStream(gateway, {})).opened).toBe(false)
    expect(
      (await openStream(gateway, { headers: { cookie: `evenpull-${gateway.port}=${'x'.repeat(43)}` } })).opened,
    ).toBe(false)
    const stream = await openStream(gateway, { headers: held(session) })
    expect(stream.opened).toBe(true)
    stream.end()
  }

  async function socketsCloseWithTheirSession(gateway: URL) {
    const [first, second, other] = await Promise.all(
      (['view', 'operate', 'engineer'] as const).map((role) => logIn(gateway, role)),
    )
    if (first === undefined || second === undefined || other === undefined) throw new Error('three were asked for')
    const [leaving, changed, staying] = await Promise.all(
      [first, second, other].map((session) => openStream(gateway, { headers: held(session) })),
    )
    await ask(gateway, '/api/session', { method: 'DELETE', headers: held(first) })
    expect(await leaving?.closed).toBe(CLOSE_LOGGED_OUT)
    expect((await evenpull('', 'users', 'role', config, NAMES.operate, '--role', 'view')).code).toBe(0)
    expect(await changed?.closed).toBe(CLOSE_LOGGED_OUT)
    expect((await ask(gateway, '/api/zones', { headers: held(second) })).status).toBe(401)
    expect((await ask(gateway, '/api/zones', { headers: held(other) })).status).toBe(200)
    expect(await Promise.race([staying?.closed, 'open'])).toBe('open')
    staying?.end()
  }

  async function guessingIsMadeToWait(gateway: URL) {
    const statuses: number[] = []
    for (let i = 0; i < 14; i++) {
      const send = { name: `name ${i}`, password: 'guess' }
      statuses.push((await ask(gateway, '/api/session', { method: 'POST', send })).status)
    }
    expect(statuses.at(-1)).toBe(429)
    expect(statuses).not.toContain(200)
  }

  it('a session outlives the gateway', async () => {
    await seedUsers(folder)
    const before = await startGateway()
    const session = await logIn(before, 'view')
    const child = running.pop()
    child?.kill('SIGTERM')
    await new Promise((resolve) => child?.once('exit', resolve))
    const after = await startGateway()
    // The name of the cookie holds the port, which is another one here.
    const [, id = ''] = /=([\w-]{43});/.exec(session.cookie) ?? []
    expect((await ask(after, '/api/zones', { headers: { cookie: `evenpull-${after.port}=${id}` } })).status).toBe(200)
  })

  it('an open gateway is closed by the first user added from the command line', async () => {
    const gateway = await startGateway()
    expect((await ask(gateway, '/api/zones')).status).toBe(200)
    const stream = await openStream(gateway, {})
    await evenpull('weights on a rope', 'users', 'add', config, 'Anna', '--role', 'engineer', '--stdin')
    expect(await stream.closed).toBe(CLOSE_LOGGED_OUT)
    expect((await ask(gateway, '/api/zones')).status).toBe(401)
  })
})

const noOpenssl = missing('openssl')
describe.skipIf(noOpenssl !== null)(titled('with a certificate made by openssl', noOpenssl), () => {
  let files: { cert: string; key: string }
  let ca: string
  beforeAll(() => {
    files = makeCertificate(folder, 'own')
    ca = readFileSync(join(folder, files.cert), 'utf8')
  })

  it('page, API and stream speak TLS alone, and the cookie never leaves it', async () => {
    await seedUsers(folder)
    const gateway = await startGateway({ tls: { cert: files.cert, key: files.key } })
    expect(gateway.protocol).toBe('https:')
    const session = await logIn(gateway, 'view', { ca })
    expect(session.cookie).toMatch(
      /^__Host-evenpull-\d+=[\w-]{43}; Path=\/; Max-Age=604800; HttpOnly; SameSite=Strict; Secure$/,
    )
    expect((await ask(gateway, '/api/zones', { ca, headers: held(session) })).status).toBe(200)
    expect(JSON.parse((await ask(gateway, '/api/session', { ca })).text)).toMatchObject({ encrypted: true })
    const stream = await openStream(gateway, { ca, headers: held(session) })
    expect(stream.opened).toBe(true)
    stream.end()
    const plain = new URL(`http://127.0.0.1:${gateway.port}`)
    await expect(ask(plain, '/api/session')).rejects.toBeInstanceOf(Error)
    expect((await ask(gateway, '/api/session', { ca })).status).toBe(200)
  })
})
