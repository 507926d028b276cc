import { readFileSync, writeFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { exampleGeometryView } from '../../gateway/http/config-examples.ts'
import type { ChangeWritten, GeometryView, RevisionList } from '../../shared/schemas/config-write.ts'
import { ask, jsonBody, type Reply } from '../http/support/served.ts'
import { type GatewayProcess, startGatewayProcess, untilAnswer } from './support/gateway.ts'

/** Nothing answers at the device: what is written here never depends on it. */
const CONFIG = `# The infeed, commissioned in May
version: 1
devices:
  - { id: amp, transport: modbus-tcp, host: 127.0.0.1, port: 9, rate_hz: 5 }
channels:
  - id: ds   # drive side
    device: amp
    register: { address: 0, type: int16 }
    electrical: { unit: mA, counts: [0, 20000], reads: [0, 20] }
    force: { unit: kgf, zero: 4.00, gain: 3.125, capacity: 50 }   # from the data sheet
  - id: os
    device: amp
    register: { address: 1, type: int16 }
    electrical: { unit: mA, counts: [0, 20000], reads: [0, 20] }
    force: { unit: kgf, zero: 4.00, gain: 3.125, capacity: 50 }
zones:
  - id: infeed
    cells: { drive_side: ds, operator_side: os }
    cell_distance_m: 1.6   # by tape
    web_width_m: 1.2
`
const geometry = { ...exampleGeometryView.geometry, arrows_deg: { drive_side: -90, operator_side: -90 } }
const GEOMETRY = '/api/zones/infeed/geometry'

let gateway: GatewayProcess
let port = 0
beforeAll(async () => {
  gateway = await startGatewayProcess(CONFIG)
  port = Number(new URL(gateway.address).port)
})
afterAll(() => gateway.stop())

const text = () => readFileSync(gateway.configPath, 'utf8')
const revision = async () => (await gateway.get<GeometryView>(GEOMETRY)).revision
const revisions = () => gateway.get<RevisionList>('/api/revisions')
const pause = () => new Promise((resolve) => setTimeout(resolve, 300))

async function send(method: string, path: string, body: unknown, headers: Record<string, string> = {}): Promise<Reply> {
  await pause()
  const json = jsonBody(body)
  const origin = gateway.address
  return ask(port, path, { method, body: json.body, headers: { ...json.headers, origin, ...headers } })
}
const point = {
  cycle: 1,
  direction: 'up',
  mass: 0,
  massUnit: 'kg',
  forceN: 0,
  reading: 4.0312,
  u: 0.0004,
  samples: 100,
  seconds: 10,
  timeMs: 1_760_000_000_000,
  used: true,
}
const zero = async (more = {}) => ({
  who: 'A. Fitter',
  baseRevision: await revision(),
  zero: 4.0312,
  record: { kind: 'zero', unit: 'mA', points: [point] },
  ...more,
})

describe('changing the config over HTTP', () => {
  it('a geometry is written as it was sent, is in force at once, and is read back', async () => {
    const before = await gateway.get<GeometryView>(GEOMETRY)
    expect(before).toMatchObject({
      geometry: null,
      zone: { cellDistanceM: 1.6, cells: { drive_side: { channel: 'ds', step: 0.001, gainN: 3.125 * 9.80665 } } },
    })
    const reply = await send('PUT', GEOMETRY, { who: 'A. Fitter', baseRevision: before.revision, geometry })
    expect(reply.status, reply.text).toBe(200)
    const written = JSON.parse(reply.text) as ChangeWritten
    expect((await gateway.health()).config.revision).toBe(written.revision)
    expect(await gateway.get<GeometryView>(GEOMETRY)).toMatchObject({ geometry, revision: written.revision })
    for (const comment of ['# The infeed, commissioned in May', '# drive side', '# from the data sheet', '# by tape'])
      expect(text()).toContain(comment)
    expect(text()).not.toContain('gravity_m_s2')
    expect(text().startsWith(CONFIG.trimEnd())).toBe(true)
  })

  it('a zero and a gain are written in the units of the channel, with what stands behind them in the revision', async () => {
    const change = await zero({ gainN: 31.25, uGainPercent: 0.1234, uZeroPercent: 0.00321 })
    const reply = await send('POST', '/api/channels/ds/calibration', change)
    expect(reply.status, reply.text).toBe(200)
    expect(text()).toContain(
      'force: { unit: kgf, zero: 4.0312, gain: 3.186613, capacity: 50, u_gain_percent: 0.12, u_zero_percent: 0.0032 }   # from the data sheet',
    )
    const { revisions: list, current } = await revisions()
    expect(list[0]).toMatchObject({
      revision: current,
      who: 'A. Fitter',
      action: 'calibration',
      record: { points: [{ reading: 4.0312 }] },
    })
    expect(list[0]?.changes).toContainEqual({ key: 'channel ds: force.zero', before: 4, after: 4.0312 })
    expect(list.map(({ action }) => action)).toEqual(['calibration', 'geometry', 'first seen'])
  })

  it('a change made from a revision that is no longer the file’s is 409, and an edit by hand is a revision too', async () => {
    const base = await revision()
    writeFileSync(gateway.configPath, text().replace('cell_distance_m: 1.6', 'cell_distance_m: 1.55'))
    const reply = await send('PUT', GEOMETRY, { who: 'A. Fitter', baseRevision: base, geometry: null })
    expect([reply.status, JSON.parse(reply.text).code]).toEqual([409, 'EVP_CONFIG_CHANGED'])
    const { revisions: list } = await untilAnswer(revisions, (now) => now.revisions[0]?.action === 'edited by hand')
    expect(list[0]).toMatchObject({ who: null, words: 'zone infeed: cell_distance_m 1.6 → 1.55.' })
    expect(text()).toContain('cell_distance_m: 1.55')
  })

  it('a change that the config’s rules refuse is 422 and writes nothing', async () => {
    const before = text()
    const single = { ...geometry, arrows_deg: { single: -90 } }
    const reply = await send('PUT', GEOMETRY, { who: 'A', baseRevision: await revision(), geometry: single })
    expect([reply.status, JSON.parse(reply.text).code]).toEqual([422, 'EVP_CONFIG_INVALID'])
    expect(text()).toBe(before)
  })
})

describe('what is refused before the file is looked at', () => {
  const strangers: [string, Record<string, string>, number][] = [
    ['a page of another site', { origin: 'http://elsewhere.example' }, 403],
    ['a page of another port', { origin: 'http://127.0.0.1:1' }, 403],
    ['a page without an origin of its own', { origin: 'null' }, 403],
    ['what a browser calls cross-site', { 'sec-fetch-site': 'cross-site' }, 403],
    ['what a browser calls same-site', { 'sec-fetch-site': 'same-site' }, 403],
    ['a name that is not ours', { host: 'rebound.example' }, 403],
    ['a form', { 'content-type': 'text/plain' }, 415],
    ['a form with a file', { 'content-type': 'multipart/form-data; boundary=x' }, 415],
    ['another encoding', { 'content-type': 'application/json; charset=utf-16' }, 415],
    ['a compressed body', { 'content-encoding': 'gzip' }, 415],
  ]
  it.each(strangers)('%s', async (_, headers, status) => {
    const before = text()
    const reply = await send('POST', '/api/channels/ds/calibration', await zero(), headers)
    expect(reply.status, reply.text).toBe(status)
    expect(text()).toBe(before)
  })

  const wrong: [string, object][] = [
    ['nobody', { who: '' }],
    ['white space for a name', { who: '   ' }],
    ['a name over 60 characters', { who: 'x'.repeat(61) }],
    ['a line end in a name', { who: 'A\nroot' }],
    ['a terminal’s escape in a name', { who: 'A\u001b[2J' }],
    ['a name that turns the text round', { who: 'A\u202egnp' }],
    ['a gain of 0', { gainN: 0 }],
    ['no zero and no gain', { zero: undefined }],
    ['a number that is none', { zero: '4' }],
    ['a key nobody knows', { force: 1 }],
    ['no record', { record: undefined }],
    ['no base', { baseRevision: undefined }],
    ['a base that is no revision', { baseRevision: '../../etc' }],
  ]
  it.each(wrong)('%s', async (_, part) => {
    const before = text()
    const reply = await send('POST', '/api/channels/ds/calibration', await zero(part))
    expect([reply.status, JSON.parse(reply.text).code], reply.text).toEqual([400, 'EVP_REQUEST_INVALID'])
    expect(text()).toBe(before)
  })

  it('a body beyond the limit, announced or not', async () => {
    const large = JSON.stringify({ ...(await zero()), record: { kind: 'zero', note: 'x'.repeat(1024 * 1024) } })
    const announced = { 'content-type': 'application/json', 'content-length': String(large.length) }
    const path = '/api/channels/ds/calibration'
    const reply = await ask(port, path, { method: 'POST', body: large, headers: announced })
    expect([reply.status, JSON.parse(reply.text).code]).toEqual([413, 'EVP_TOO_LARGE'])
    const chunked = { 'content-type': 'application/json', 'transfer-encoding': 'chunked' }
    const second = await ask(port, path, { method: 'POST', body: large, headers: chunked }).catch((error) => error)
    // The server may have ended the connection before all of it was sent.
    expect(second.status ?? second.code).toBeOneOf([413, 'ECONNRESET', 'EPIPE'])
  })

  it('JSON that is none, that nests without end, or that names a prototype', async () => {
    const headers = { 'content-type': 'application/json' }
    for (const body of ['{', '', '[1', `${'['.repeat(5000)}${']'.repeat(5000)}`, '{"__proto__":{"who":"x"}}', '\xff']) {
      await pause()
      const reply = await ask(port, '/api/channels/ds/calibration', { method: 'POST', body, headers })
      expect([reply.status, JSON.parse(reply.text).code]).toEqual([400, 'EVP_REQUEST_INVALID'])
    }
  })

  it('no such channel, no such zone, and a channel that is no cell', async () => {
    expect((await send('POST', '/api/channels/no/calibration', await zero())).status).toBe(404)
    expect(
      (await send('PUT', '/api/zones/no/geometry', { who: 'A', baseRevision: await revision(), geometry })).status,
    ).toBe(404)
  })

  it('more than a person does', async () => {
    const body = await zero()
    await pause()
    const replies = await Promise.all(
      Array.from({ length: 12 }, () =>
        ask(port, '/api/channels/no/calibration', { method: 'POST', ...jsonBody(body) }),
      ),
    )
    expect(replies.map(({ status }) => status)).toContain(429)
  })
})
