import { createServer } from 'node:net'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { exampleRegisterView } from '../../gateway/http/examples.ts'
import { routeTable } from '../../gateway/http/routes/table.ts'
import { createGatewayServer } from '../../gateway/http/server.ts'
import { ERROR_CATALOGUE, EvenpullError } from '../../shared/errors.ts'
import { errorBody } from '../../shared/schemas/health.ts'
import type { RegisterViewQuery } from '../../shared/schemas/register-view.ts'
import { bearer, madeAccess, NAMES, oneOfEach, PASSWORDS, storedUser } from '../access/support/made-access.ts'
import { ask, exampleSources, jsonBody, type Reply, type Served, serve } from './support/served.ts'

const NO_ZONE = 'no-such-zone'

let served: Served
const asked: RegisterViewQuery[] = []
let failWith: unknown = null

beforeAll(async () => {
  served = await serve({
    sources: {
      readRegisters: async (query) => {
        asked.push(query)
        if (failWith !== null) throw failWith
        return exampleRegisterView
      },
    },
  })
})
afterAll(() => served.close())

function expectRefusal(reply: Reply, status: number, code: string): void {
  expect(reply.status).toBe(status)
  expect(reply.headers['content-type']).toBe('application/json; charset=utf-8')
  const body = errorBody.parse(JSON.parse(reply.text))
  expect(body.code).toBe(code)
  expect(Object.keys(ERROR_CATALOGUE)).toContain(body.code)
  expect(body.remedy).not.toBe('')
}

describe('every route of the table', () => {
  const table = routeTable('test').map((route) => {
    const path = route.parameters.reduce(
      (text, p) => text.replace(`{${p.name}}`, encodeURIComponent(p.example)),
      route.path,
    )
    const query = new URLSearchParams(Object.entries(route.queryExample).map(([k, v]) => [k, String(v)]))
    const url = query.size === 0 ? path : `${path}?${query}`
    const request: { body?: string; headers?: Record<string, string> } =
      route.body === undefined ? {} : jsonBody(route.body.example)
    return { route, method: route.method, url, options: { method: route.method, ...request } }
  })
  const readers = table.filter(({ method }) => method === 'GET')

  it.each(table)('$method $url answers what its schema says, and its examples fit too', async (row) => {
    const { route, url, options } = row
    // Its own gateway, with the user of the examples: log-ins and changes of users leave their traces.
    const second = { ...(await storedUser('engineer', 'Second')), token: null }
    const { access } = madeAccess([...(await oneOfEach()), second])
    const own = await serve({ sources: { access } })
    // What a session alone may ask has one; all else a token may ask as well.
    const { cookie } = await access.logIn(NAMES.engineer, PASSWORDS.engineer, {
      address: '127.0.0.1',
      port: own.port,
      encrypted: false,
    })
    const caller = route.path === '/api/session/password' ? { cookie } : bearer('engineer')
    const headers = { ...options.headers, ...caller }
    const reply = await ask(own.port, url, { ...options, headers })
    await own.close()
    expect(reply.status, reply.text).toBe(200)
    if (route.response.kind === 'text') {
      expect(reply.headers['content-type']).toBe(route.response.contentType)
      return
    }
    if (route.response.kind === 'file') {
      expect(route.response.contentTypes).toContain(reply.headers['content-type'])
      expect(reply.headers['content-disposition']).toMatch(/^(attachment|inline); filename="[\w.-]+"$/)
      return
    }
    expect(reply.headers['content-type']).toBe('application/json; charset=utf-8')
    route.response.schema?.parse(JSON.parse(reply.text))
    route.response.schema?.parse(route.response.example)
    route.body?.schema.parse(route.body.example)
  })

  it.each(readers)('$url has the same headers for HEAD, without a body', async ({ url, route }) => {
    served.nowMs += 10_000
    const get = await ask(served.port, url)
    const head = await ask(served.port, url, { method: 'HEAD' })
    expect([head.status, head.text]).toEqual([200, ''])
    expect(head.headers['content-type']).toBe(get.headers['content-type'])
    // How long a file becomes that is made while it is read is known only at its end.
    const isMade = String(head.headers['content-disposition']).startsWith('attachment')
    expect(head.headers['content-length'] !== undefined).toBe(!isMade)
    if (isMade) expect(route.response.kind).toBe('file')
  })

  it.each(table)('$method $url takes no other method than its address has, and says which', async ({ url, route }) => {
    const has = table.filter((row) => row.route.path === route.path).map(({ method }) => method)
    for (const method of ['POST', 'PUT', 'PATCH', 'DELETE', 'OPTIONS', 'TRACE']) {
      if (has.some((one) => one === method)) continue
      const reply = await ask(served.port, url, { method })
      expectRefusal(reply, 405, 'EVP_REQUEST_INVALID')
      expect(reply.headers.allow).toBe(has.join(', ').replace('GET', 'GET, HEAD'))
    }
  })

  it.each(table)('$method $url takes no key that it does not know', async ({ url, options }) => {
    served.nowMs += 10_000
    const reply = await ask(served.port, `${url}${url.includes('?') ? '&' : '?'}unheard_of=1`, options)
    expectRefusal(reply, 400, 'EVP_REQUEST_INVALID')
    expect(JSON.parse(reply.text).message).toContain('unheard_of')
  })
})

describe('refusals', () => {
  it('an address that does not exist is 404', async () => {
    for (const path of ['/api', '/api/', '/api/nothing', '/api/zones/', '/api/zones//now', '/api/zones/no/now'])
      expectRefusal(await ask(served.port, path), 404, 'EVP_NOT_FOUND')
  })

  it('a register query out of range names the key and the limit', async () => {
    for (const [query, key] of [
      ['count=61', 'count'],
      ['count=0', 'count'],
      ['count=1.5', 'count'],
      ['function=6', 'function'],
      ['address=65536', 'address'],
      ['unit_id=-1', 'unit_id'],
      ['address=abc', 'address'],
    ] as const) {
      served.nowMs += 10_000
      const reply = await ask(served.port, `/api/registers?device=d&${query}`)
      expectRefusal(reply, 400, 'EVP_REQUEST_INVALID')
      expect(JSON.parse(reply.text).message).toContain(key)
    }
    served.nowMs += 10_000
    expectRefusal(await ask(served.port, '/api/registers'), 400, 'EVP_REQUEST_INVALID')
    served.nowMs += 10_000
    expectRefusal(await ask(served.port, '/api/registers?device=a&device=b'), 400, 'EVP_REQUEST_INVALID')
  })

  it('a query that lacks something, or has a text for a number, is told so in those words', async () => {
    const path = `/api/zones/${NO_ZONE}`
    const messageOf = async (url: string): Promise<string> => {
      served.nowMs += 10_000
      const reply = await ask(served.port, url)
      expectRefusal(reply, 400, 'EVP_REQUEST_INVALID')
      return JSON.parse(reply.text).message
    }
    expect(await messageOf('/api/registers')).toContain('device: it is missing')
    expect(await messageOf('/api/registers?device=d&count=ten')).toBe('count: expected a number, got "ten"')
    expect(await messageOf(`${path}/spectrum?seconds=10,5`)).toBe('seconds: expected a number, got "10,5"')
    for (const from of ['', 'now', '2026-01-01'])
      for (const what of ['history', 'export', 'shift'])
        expect(await messageOf(`${path}/${what}?from=${from}&to=2`)).toContain(
          'from: expected epoch ms, or ISO 8601 with Z or an offset',
        )
    expect(await messageOf(`${path}/history?from=1`)).toBe('to: it is missing')
    expect(await messageOf('/api/events?from=now')).toContain('from: expected epoch ms')
  })

  it('the register viewer takes four requests a second and says when to come again', async () => {
    served.nowMs += 10_000
    const url = '/api/registers?device=d'
    for (let i = 0; i < 4; i++) expect((await ask(served.port, url)).status).toBe(200)
    const fifth = await ask(served.port, url)
    expectRefusal(fifth, 429, 'EVP_TOO_MANY')
    expect(fifth.headers['retry-after']).toBe('1')
    served.nowMs += 250
    expect((await ask(served.port, url)).status).toBe(200)
  })

  it.each([
    ['EVP_DEVICE_TIMEOUT', 504],
    ['EVP_DEVICE_UNREACHABLE', 502],
    ['EVP_MODBUS_EXCEPTION', 502],
    ['EVP_NOT_FOUND', 404],
  ] as const)('a device that fails with %s is %i, its reason kept', async (code, status) => {
    served.nowMs += 10_000
    failWith = new EvenpullError(code, 'the reason')
    const reply = await ask(served.port, '/api/registers?device=d')
    failWith = null
    expectRefusal(reply, status, code)
    expect(JSON.parse(reply.text).message).toBe('the reason')
  })

  it('a fault of ours is 500 without its inner words, which go to the log', async () => {
    served.nowMs += 10_000
    failWith = new TypeError('inner words')
    const reply = await ask(served.port, '/api/registers?device=d')
    failWith = null
    expectRefusal(reply, 500, 'EVP_INTERNAL')
    expect(reply.text).not.toContain('inner words')
    expect(served.log.some((line) => line.includes('inner words'))).toBe(true)
  })

  it('a body is refused as too large where the request takes none', async () => {
    const reply = await ask(served.port, '/api/zones', { body: 'x', headers: { 'content-length': '1' } })
    expectRefusal(reply, 413, 'EVP_TOO_LARGE')
    expect(reply.headers.connection).toBe('close')
  })

  it('headers beyond the limit are 431', async () => {
    const reply = await ask(served.port, '/api/zones', { headers: { 'x-long': 'x'.repeat(20_000) } })
    expectRefusal(reply, 431, 'EVP_TOO_LARGE')
  })

  it('a name that is not ours in Host is refused before anything is looked up', async () => {
    for (const path of ['/', '/api/zones', '/metrics']) {
      const reply = await ask(served.port, path, { headers: { host: 'rebound.example' } })
      expectRefusal(reply, 403, 'EVP_ORIGIN_REFUSED')
    }
  })

  it('every answer carries the security headers', async () => {
    for (const path of ['/', '/api/zones', '/metrics', '/api/nothing']) {
      const { headers } = await ask(served.port, path)
      expect(headers).toMatchObject({
        'x-content-type-options': 'nosniff',
        'x-frame-options': 'DENY',
        'referrer-policy': 'same-origin',
      })
      expect(headers['content-security-policy']).toContain("frame-ancestors 'none'")
      expect(headers['permissions-policy']).toContain('camera=()')
    }
  })
})

describe('listen', () => {
  it('names the port when another program holds it', async () => {
    const other = createServer()
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve))
    const address = other.address()
    const port = typeof address === 'object' && address !== null ? address.port : 0
    const server = createGatewayServer({
      staticRoot: '/nowhere',
      hub: served.hub,
      sources: exampleSources,
      log: () => {},
      version: 'test',
      nowMs: () => 0,
    })
    await expect(server.listen('127.0.0.1', port)).rejects.toMatchObject({ code: 'EVP_PORT_TAKEN' })
    await new Promise((resolve) => other.close(resolve))
  })

  it('binds the address asked for and no other', async () => {
    await expect(ask(served.port, '/api/zones', { host: '127.0.0.2' })).rejects.toMatchObject({ code: 'ECONNREFUSED' })
  })
})
