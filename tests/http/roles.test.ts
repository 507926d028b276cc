import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { routeTable } from '../../gateway/http/routes/table.ts'
import { hasWho } from '../../gateway/http/signed.ts'
import { isEnough, ROLES, type Role } from '../../shared/roles.ts'
import { errorBody } from '../../shared/schemas/health.ts'
import { bearer, madeAccess, NAMES, oneOfEach } from '../access/support/made-access.ts'
import { ask, jsonBody, type Served, serve } from './support/served.ts'

let served: Served
beforeAll(async () => {
  served = await serve({ sources: { access: madeAccess(await oneOfEach()).access } })
})
afterAll(() => served.close())

/** Every route there is: a new one is held to its `needs` without anybody writing a test for it. */
const TABLE = routeTable('test').map((route) => ({ route, method: route.method, path: route.path, needs: route.needs }))

/** An unknown key in the query: whoever is let in is told so (400) before anything is done. */
const urlOf = ({ route }: (typeof TABLE)[number]) => {
  const path = route.parameters.reduce(
    (text, p) => text.replace(`{${p.name}}`, encodeURIComponent(p.example)),
    route.path,
  )
  return `${path}?unheard_of=1`
}

async function statusFor(row: (typeof TABLE)[number], headers: Record<string, string>) {
  served.nowMs += 10_000
  const body = row.route.body === undefined ? undefined : jsonBody(row.route.body.example)
  const reply = await ask(served.port, urlOf(row), {
    method: row.method,
    ...body,
    headers: { ...body?.headers, ...headers },
  })
  return { status: reply.status, code: errorBody.parse(JSON.parse(reply.text)).code, reply }
}

describe('with users', () => {
  it.each(TABLE)('$method $path lets in whoever has the role $needs, and nobody else', async (row) => {
    for (const role of ROLES) {
      const { status, code } = await statusFor(row, bearer(role))
      const expected = isEnough(role, row.needs) ? [400, 'EVP_REQUEST_INVALID'] : [403, 'EVP_ROLE']
      expect([status, code], role).toEqual(expected)
    }
  })

  it.each(TABLE)('$method $path wants a log-in unless anybody may ask, and says how', async (row) => {
    for (const headers of [
      {},
      { authorization: 'Bearer evp_wrong' },
      { cookie: `evenpull-${served.port}=${'x'.repeat(43)}` },
    ]) {
      const { status, code, reply } = await statusFor(row, headers)
      const expected = row.needs === 'anyone' ? [400, 'EVP_REQUEST_INVALID'] : [401, 'EVP_LOGIN_NEEDED']
      expect([status, code], JSON.stringify(headers)).toEqual(expected)
      if (status === 401) expect(reply.headers['www-authenticate']).toBe('Bearer realm="evenpull"')
    }
  })

  it.each(TABLE.filter(({ method }) => method !== 'GET'))(
    '$method $path refuses a page of another origin, whoever is logged in',
    async (row) => {
      for (const headers of [
        { origin: 'http://stranger.example' },
        { 'sec-fetch-site': 'cross-site' },
        { origin: 'null' },
      ]) {
        const { status, code } = await statusFor(row, { ...bearer('engineer'), ...headers })
        expect([status, code], JSON.stringify(headers)).toEqual([403, 'EVP_ORIGIN_REFUSED'])
      }
    },
  )

  it.each(TABLE.filter(({ method }) => method === 'GET'))(
    '$method $path refuses the image or frame of another page: reading a device and taking samples away are no stranger’s',
    async (row) => {
      for (const site of ['cross-site', 'same-site']) {
        const { status, code } = await statusFor(row, { ...bearer('engineer'), 'sec-fetch-site': site })
        expect([status, code], site).toEqual([403, 'EVP_ORIGIN_REFUSED'])
      }
      for (const site of ['same-origin', 'none'])
        expect((await statusFor(row, { ...bearer('engineer'), 'sec-fetch-site': site })).status, site).toBe(400)
    },
  )

  it('only the log-in may be asked by anybody; nothing but GET is open to who only looks, but what computes alone, the end of an export and one’s own password', () => {
    const rows = TABLE.map(({ method, path, needs }) => `${method} ${path} ${needs}`)
    expect(rows.filter((row) => row.endsWith(' anyone'))).toEqual([
      'GET /api/session anyone',
      'POST /api/session anyone',
      'DELETE /api/session anyone',
    ])
    const writesForAll = rows.filter((row) => row.endsWith(' view') && !row.startsWith('GET '))
    expect(
      writesForAll.every((row) => /^POST \/api\/(compute\/|exports\/)|^PUT \/api\/session\/password /.test(row)),
    ).toBe(true)
  })

  it('the page’s own files need no log-in', async () => {
    const { status, text } = await ask(served.port, '/set-up', { headers: { accept: 'text/html' } })
    expect([status, text]).toEqual([404, expect.stringContaining('has not been built yet')])
  })
})

describe('who signs', () => {
  const writes = TABLE.filter(({ route }) => hasWho(route.body?.schema))

  it('is found in the schema of every body that names somebody', () => {
    const named = TABLE.filter(({ route }) => Object.hasOwn((route.body?.example ?? {}) as object, 'who'))
    expect(named.map(({ path }) => path)).toEqual(writes.map(({ path }) => path))
    expect(writes.length).toBeGreaterThan(1)
  })

  it('is the logged-in user, whatever name is sent; without a log-in it is what was typed', async () => {
    const signed: string[] = []
    const changeGeometry = async (_zone: string, { who }: { who: string }) => {
      signed.push(who)
      return { revision: '0123456789ab' }
    }
    const row = TABLE.find(({ method, path }) => method === 'PUT' && path.endsWith('/geometry'))
    const example = row?.route.body?.example as object
    for (const [access, headers] of [
      [madeAccess(await oneOfEach()).access, bearer('engineer')],
      [madeAccess([]).access, {}],
    ] as const) {
      const own = await serve({ sources: { access, changeGeometry } })
      for (const body of [
        { ...example, who: 'Somebody Else' },
        { ...example, who: undefined },
      ]) {
        const sent = jsonBody(body)
        const options = { method: 'PUT', ...sent, headers: { ...sent.headers, ...headers } }
        signed.push(String((await ask(own.port, '/api/zones/unwind/geometry', options)).status))
      }
      await own.close()
    }
    expect(signed).toEqual([NAMES.engineer, '200', NAMES.engineer, '200', 'Somebody Else', '200', '400'])
  })
})

describe('one route, two needs', () => {
  it('a zero is taken by who operates, a gain is given by an engineer', async () => {
    const { route } = TABLE.find(({ path }) => path === '/api/channels/{id}/calibration') ?? {}
    const example = route?.body?.example as { zero: number }
    const ask2 = async (role: Role, body: object) => {
      served.nowMs += 10_000
      const sent = jsonBody(body)
      const options = { method: 'POST', ...sent, headers: { ...sent.headers, ...bearer(role) } }
      return (await ask(served.port, '/api/channels/cell-1/calibration', options)).status
    }
    const gain = { ...example, gainN: 62.5, uGainPercent: 0.2 }
    expect([await ask2('operate', example), await ask2('operate', gain), await ask2('engineer', gain)]).toEqual([
      200, 403, 200,
    ])
    expect(await ask2('view', example)).toBe(403)
  })
})
