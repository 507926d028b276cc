import { afterEach, describe, expect, it } from 'vitest'
import WebSocket from 'ws'
import { hostPolicy } from '../../gateway/http/host-policy.ts'
import { MAX_CLIENTS, MAX_REFUSALS, StreamHub } from '../../gateway/stream/hub.ts'
import { KIND_ENVELOPE } from '../../shared/protocol/sample-batch.ts'
import { STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'
import { ask, type Served, serve } from '../http/support/served.ts'
import { HandClock, madeSample, madeZone, oneCell } from '../stream/support/made-stream.ts'
import { picture } from '../stream/support/picture.ts'
import { StreamPeer, until } from './support/stream-client.ts'

const zones = (...list: ReturnType<typeof madeZone>[]) => ({ plant: null, line: null, zones: list })
const upTo = (count: number, from = 0) => Array.from({ length: count - from }, (_, i) => from + i)

const opened: (() => Promise<void>)[] = []
afterEach(async () => {
  for (const close of opened.splice(0)) await close()
})

async function served(hub?: StreamHub): Promise<Served> {
  const result = await serve(hub === undefined ? {} : { hub })
  opened.push(result.close)
  return result
}

async function peer(port: number, wanted: Readonly<Record<string, number | undefined>>): Promise<StreamPeer> {
  const result = await StreamPeer.open(port, wanted)
  opened.push(() => result.close())
  return result
}

describe('the stream over real sockets', () => {
  it('greets with what there is, sends the backlog, then live batches in order', async () => {
    const { port, hub } = await served()
    hub.configure(zones(madeZone('a'), madeZone('b')), 'r1')
    for (let i = 0; i < 3000; i++) hub.frame('a', oneCell(i * 10, i))
    const page = await peer(port, { a: undefined, b: undefined })
    await until(() => page.all('caught-up').length === 2, 'both backlogs')
    for (let i = 3000; i < 3010; i++) hub.frame('a', oneCell(i * 10, i))
    hub.frame('b', oneCell(0, 77))
    await until(() => page.values(0).length === 3010 && page.values(1).length === 1, 'live samples')
    expect(page.all('hello')[0]).toMatchObject({ version: 'test', bootId: 'boot', revision: 'r1' })
    expect(page.values(0)).toEqual(upTo(3010))
    expect(page.values(1)).toEqual([77])
  })

  it('a page that comes back gets only what it missed, and nothing twice', async () => {
    const { port, hub } = await served()
    hub.configure(zones(madeZone('a')), 'r1')
    for (let i = 0; i < 100; i++) hub.frame('a', oneCell(i * 10, i))
    const first = await peer(port, { a: undefined })
    await until(() => first.values(0).length === 100, 'the first samples')
    const lastSeq = first.samples(0).at(-1)?.seq ?? 0
    await first.close()
    for (let i = 100; i < 200; i++) hub.frame('a', oneCell(i * 10, i))
    const second = await peer(port, { a: lastSeq })
    await until(() => second.all('caught-up').length === 1, 'the rest')
    await until(() => second.values(0).length === 100, 'the rest')
    expect([...first.values(0), ...second.values(0)]).toEqual(upTo(200))
  })

  it('what was expected while nobody looked comes with the backlog, before live pictures', async () => {
    const { port, hub } = await served()
    hub.configure(zones(madeZone('z'), madeZone('a')), 'r1')
    for (const [tMs, value] of [
      [1000, 100],
      [2000, 110],
    ] as const)
      hub.now([picture(tMs, value)])
    const page = await peer(port, { z: undefined, a: undefined })
    await page.first('caught-up')
    expect(page.all('expected')).toEqual([
      {
        type: 'expected',
        zone: 'z',
        timesMs: [1000, 2000],
        sides: { drive_side: { value: [100, 110], U: [4, 4] }, operator_side: { value: [100, 110], U: [4, 4] } },
      },
    ])
  })

  it('a zone that is asked for many times in one message is told once', async () => {
    const { port, hub } = await served()
    hub.configure(zones(madeZone('z'), madeZone('a')), 'r1')
    hub.now([picture(1000, 100)])
    const page = await peer(port, { a: undefined })
    await page.first('caught-up')
    page.send({ type: 'subscribe', zones: Array.from({ length: 64 }, () => ({ zone: 'z' })) })
    await until(() => page.all('caught-up').length === 2, 'the zone')
    expect(page.all('expected').map(({ zone }) => zone)).toEqual(['z'])
  })

  it('a new config is told in a new hello; zones kept go on with their numbers', async () => {
    const { port, hub } = await served()
    hub.configure(zones(madeZone('a')), 'r1')
    const page = await peer(port, { a: undefined })
    await page.first('caught-up')
    hub.frame('a', oneCell(0, 0))
    hub.configure(zones(madeZone('new'), madeZone('a', ['single'], 200)), 'r2')
    hub.frame('a', oneCell(10, 1))
    await until(() => page.samples(0).length + page.samples(1).length === 2, 'both samples')
    expect(page.all('hello').map((hello) => hello.revision)).toEqual(['r1', 'r2'])
    // In the second hello the zone stands at another index.
    expect(page.batches.map((batch) => [batch.zone, batch.seq])).toEqual([
      [0, 1],
      [1, 2],
    ])
  })

  it('of twenty clients one stops reading: the others get every sample, it gets a count, an envelope, and later what it missed', async () => {
    const { port, hub } = await served()
    const columns = ['drive_side', 'operator_side', 'speed', 'roller_speed', 'reference', 'temperature'] as const
    hub.configure(zones(madeZone('a', [...columns], 1000)), 'r1')
    const pages = await Promise.all(upTo(20).map(() => peer(port, { a: undefined })))
    await Promise.all(pages.map((page) => page.first('caught-up')))
    const [stalled, ...others] = pages
    if (stalled === undefined) throw new Error('no client')
    let rows = 0
    const feed = async (bursts: number) => {
      for (let burst = 0; burst < bursts; burst++) {
        for (let i = 0; i < 512; i++, rows++) {
          const sample = madeSample(rows, rows)
          hub.frame('a', {
            tMs: sample.tMs,
            skewMs: 0,
            sides: { drive_side: sample, operator_side: sample },
            aux: { speed: sample, roller_speed: sample, reference: sample, temperature: sample },
          })
        }
        await until(() => others.every((page) => page.rows > rows - 20_000), 'the others to keep up')
        await new Promise(setImmediate)
      }
    }
    const accounted = () => stalled.rows + stalled.all('dropped').reduce((sum, message) => sum + message.samples, 0)
    // The system's own buffers of one connection take a few MB before ours must decide; where they take more, again.
    for (const bursts of [350, 700]) {
      stalled.socket.pause()
      await feed(bursts)
      stalled.socket.resume()
      await until(() => accounted() === rows, 'every sample to come or be counted')
      if (stalled.all('dropped').length > 0) break
    }
    await until(() => others.every((page) => page.rows === rows), 'every sample at the others')
    for (const page of others) {
      expect(page.all('dropped')).toEqual([])
      let expected = 1
      for (const batch of page.samples(0)) {
        expect(batch.firstSeq).toBe(expected)
        expected = batch.seq + 1
      }
    }
    expect(others[0]?.values(0)).toEqual(upTo(rows))

    const dropped = stalled.all('dropped')
    expect(dropped.length).toBeGreaterThan(0)
    const envelopes = stalled.batches.filter((batch) => batch.kind === KIND_ENVELOPE)
    expect(envelopes.map(({ firstSeq, seq }) => [firstSeq, seq])).toEqual(
      dropped.map(({ firstSeq, lastSeq }) => [firstSeq, lastSeq]),
    )
    for (const { firstSeq, lastSeq } of dropped)
      stalled.send({ type: 'missed', zone: 'a', fromSeq: firstSeq, toSeq: lastSeq })
    await until(() => stalled.rows >= rows, 'what it missed')
    expect(stalled.values(0).toSorted((a, b) => a - b)).toEqual(upTo(rows))
  })

  it('a client that asks again and again and reads nothing is refused and closed: what waits for it stays small', async () => {
    const { port, hub, log } = await served()
    hub.configure(zones(madeZone('z')), 'r1')
    for (let second = 1; second <= 600; second++) hub.now([picture(second * 1000, second)])
    const page = await peer(port, { z: undefined })
    await page.first('caught-up')
    page.socket.pause()
    const asked = 3000
    for (let i = 0; i < asked; i++) page.send({ type: 'subscribe', zones: [{ zone: 'z' }] })
    await until(() => log.some((line) => line.includes('refused messages')), 'the hub to refuse')
    page.socket.resume()
    await until(() => page.closed !== null, 'the end')
    expect(page.all('refused').map(({ error }) => error.code)).toEqual(Array(MAX_REFUSALS).fill('EVP_TOO_MANY'))
    expect(page.all('expected').length).toBeLessThan(asked)
  })

  it('a client that stops reading, and answers no ping, is closed after 30 s; one that reads stays', async () => {
    const clock = new HandClock()
    const { originAllowed } = hostPolicy('127.0.0.1')
    const hub = new StreamHub({ version: 'test', bootId: 'boot', clock, hostAllowed: originAllowed, keepaliveMs: 10 })
    const { port } = await served(hub)
    hub.configure(zones(madeZone('a')), 'r1')
    const reading = await peer(port, { a: undefined })
    const paused = await peer(port, { a: undefined })
    await Promise.all([reading.first('caught-up'), paused.first('caught-up')])
    paused.socket.pause()
    let pings = 0
    reading.socket.on('ping', () => pings++)
    for (let step = 0; step < 8; step++) {
      clock.ms += 5000
      const before = pings
      await until(() => pings >= before + 3, 'pings at the client that reads')
    }
    await until(() => hub.clients === 1, 'the other to be closed')
    expect(reading.closed).toBeNull()
    paused.socket.resume()
  })

  it('says goodbye when the gateway stops', async () => {
    const { port, hub } = await served()
    hub.configure(zones(madeZone('a')), 'r1')
    const page = await peer(port, { a: undefined })
    await hub.close()
    await until(() => page.closed !== null, 'the goodbye')
    expect(page.closed?.code).toBe(1001)
    expect(hub.clients).toBe(0)
  })
})

describe('who may open the stream', () => {
  const attempt = (port: number, options: { path?: string; protocol?: string; headers?: Record<string, string> }) =>
    ask(port, options.path ?? STREAM_PATH, {
      headers: {
        connection: 'Upgrade',
        upgrade: 'websocket',
        'sec-websocket-version': '13',
        'sec-websocket-key': Buffer.alloc(16).toString('base64'),
        ...(options.protocol === '' ? {} : { 'sec-websocket-protocol': options.protocol ?? SUBPROTOCOL }),
        ...options.headers,
      },
    })

  it.each([
    ['another path', 404, 'EVP_NOT_FOUND', { path: '/other' }],
    ['a page of another origin', 403, 'EVP_ORIGIN_REFUSED', { headers: { origin: 'http://stranger.example' } }],
    ['a name that is not ours', 403, 'EVP_ORIGIN_REFUSED', { headers: { host: 'rebound.example' } }],
    [
      'a page that was rebound to us',
      403,
      'EVP_ORIGIN_REFUSED',
      { headers: { host: 'rebound.example', origin: 'http://rebound.example' } },
    ],
    ['no subprotocol', 400, 'EVP_SOCKET_MESSAGE', { protocol: '' }],
    ['another version of it', 400, 'EVP_SOCKET_MESSAGE', { protocol: 'evenpull.v999' }],
  ] as const)('%s is refused with %i', async (_, status, code, options) => {
    const { port, hub } = await served()
    const reply = await attempt(port, options)
    expect(reply.status).toBe(status)
    expect(JSON.parse(reply.text)).toMatchObject({ code, remedy: expect.any(String) })
    expect(hub.clients).toBe(0)
  })

  it('who is refused again and again is told so each time, and fills no log', async () => {
    const { port, log } = await served()
    for (let i = 0; i < 20; i++) {
      const reply = await attempt(port, { headers: { origin: `http://stranger-${i}.example` } })
      expect(reply.status).toBe(403)
    }
    expect(log).toEqual([expect.stringContaining('refused with 403: origin "http://stranger-0.example"')])
  })

  it('its own page, and on loopback a program without a page, may', async () => {
    const { port } = await served()
    for (const origin of [undefined, `http://127.0.0.1:${port}`]) {
      const socket = new WebSocket(
        `ws://127.0.0.1:${port}${STREAM_PATH}`,
        SUBPROTOCOL,
        origin === undefined ? {} : { origin },
      )
      opened.push(async () => socket.close())
      await new Promise((resolve, reject) => {
        socket.once('open', resolve)
        socket.once('error', reject)
      })
      expect(socket.protocol).toBe(SUBPROTOCOL)
      expect(socket.extensions).toBe('')
    }
  })

  it('one client beyond the limit is told so, and may when another has gone', async () => {
    const { port, hub } = await served()
    const pages = await Promise.all(upTo(MAX_CLIENTS).map(() => peer(port, {})))
    await until(() => hub.clients === MAX_CLIENTS, 'all to be connected')
    const reply = await attempt(port, {})
    expect(reply.status).toBe(503)
    expect(JSON.parse(reply.text)).toMatchObject({ code: 'EVP_TOO_MANY' })
    await pages[0]?.close()
    await until(() => hub.clients === MAX_CLIENTS - 1, 'one to be gone')
    await peer(port, {})
  })
})
