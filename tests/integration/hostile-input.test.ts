import { connect } from 'node:net'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type WebSocket from 'ws'
import { MAX_REFUSALS } from '../../gateway/stream/hub.ts'
import { MAX_CLIENT_MESSAGE_BYTES, STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'
import { errorBody } from '../../shared/schemas/health.ts'
import { ask, type Served, serve } from '../http/support/served.ts'
import { madeZone, oneCell } from '../stream/support/made-stream.ts'
import { StreamPeer, until } from './support/stream-client.ts'

let served: Served
beforeAll(async () => {
  served = await serve()
  served.hub.configure({ plant: null, line: null, zones: [madeZone('a')] }, 'r1')
  served.hub.frame('a', oneCell(0, 1))
})
afterAll(() => served.close())

/** Patience with a request that the server rightly waits for the rest of. */
const QUIET_MS = 200

/** Sends bytes on a fresh connection, ends it after the first answer or some quiet, and returns what came back. */
function exchange(bytes: Uint8Array | string): Promise<string> {
  return new Promise((resolve, reject) => {
    let reply = ''
    const socket = connect(served.port, '127.0.0.1', () => socket.write(bytes))
    const quiet = setTimeout(() => socket.end(), QUIET_MS)
    socket.setEncoding('latin1')
    socket.on('data', (chunk) => {
      reply += chunk
      socket.end()
    })
    socket.on('close', () => {
      clearTimeout(quiet)
      resolve(reply)
    })
    socket.on('error', () => {})
    socket.setTimeout(20_000, () => reject(new Error('not answered and not closed')))
  })
}

const HOST = 'Host: localhost\r\n'
const KNOWN_BAD = [
  '\r\n\r\n',
  'GET\r\n\r\n',
  'GET / HTTP/9.9\r\n\r\n',
  'GET / HTTP/1.1\r\n\r\n',
  `GET http://stranger.example/ HTTP/1.1\r\n${HOST}\r\n`,
  `GET / HTTP/1.1\r\n${HOST}Content-Length: -1\r\n\r\n`,
  `GET / HTTP/1.1\r\n${HOST}Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n`,
  `GET / HTTP/1.1\r\n${HOST}Content-Length: 99999999999\r\n\r\n`,
  `POST /api/zones HTTP/1.1\r\n${HOST}Transfer-Encoding: chunked\r\n\r\nZZ\r\n`,
  `GET / HTTP/1.1\r\n${HOST}Bad Header\r\n\r\n`,
  `GET / HTTP/1.1\r\n${HOST}X: ${'y'.repeat(20_000)}\r\n\r\n`,
  `GET /${'a'.repeat(30_000)} HTTP/1.1\r\n${HOST}\r\n`,
  `GET /%00%ff%zz HTTP/1.1\r\n${HOST}\r\n`,
  `GET * HTTP/1.1\r\n${HOST}\r\n`,
  `OPTIONS * HTTP/1.1\r\n${HOST}\r\n`,
  `CONNECT stranger.example:443 HTTP/1.1\r\n${HOST}\r\n`,
  `GET ${STREAM_PATH} HTTP/1.1\r\n${HOST}Connection: Upgrade\r\nUpgrade: websocket\r\n\r\n`,
  `GET ${STREAM_PATH} HTTP/1.1\r\n${HOST}Connection: Upgrade\r\nUpgrade: h2c\r\nSec-WebSocket-Protocol: ${SUBPROTOCOL}\r\n\r\n`,
  `GET ${STREAM_PATH} HTTP/1.1\r\n${HOST}Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Key: x\r\nSec-WebSocket-Version: 99\r\nSec-WebSocket-Protocol: ${SUBPROTOCOL}\r\n\r\n`,
  `GET / HTTP/1.1\r\n${HOST}Host: other.example\r\n\r\n`,
  '\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03',
]

describe('what is not a proper request', () => {
  it('200 of them are each refused or closed, never answered with success, and the gateway goes on', async () => {
    const noise = fc.sample(
      fc.oneof(
        fc.uint8Array({ minLength: 1, maxLength: 300 }).map((bytes) => Buffer.from(bytes)),
        fc
          .tuple(
            fc.constantFrom(...KNOWN_BAD),
            fc.integer({ min: 0, max: 400 }),
            fc.uint8Array({ minLength: 1, maxLength: 4 }),
          )
          .map(([text, at, bytes]) => {
            const buffer = Buffer.from(text, 'latin1')
            Buffer.from(bytes).copy(buffer, Math.min(at, Math.max(0, buffer.length - bytes.length)))
            return buffer
          }),
      ),
      { numRuns: 200 - KNOWN_BAD.length, seed: 7 },
    )
    const all = [...KNOWN_BAD.map((text) => Buffer.from(text, 'latin1')), ...noise]
    expect(all).toHaveLength(200)
    let answered = 0
    const replies = await Promise.all(all.map((bytes) => exchange(bytes)))
    for (const [i, bytes] of all.entries()) {
      const reply = replies[i] ?? ''
      if (reply !== '') answered++
      const status = /^HTTP\/1\.1 (\d{3}) /.exec(reply)?.[1]
      if (reply !== '') expect(status, JSON.stringify(bytes.toString('latin1').slice(0, 200))).toMatch(/^4\d\d$/)
    }
    // The rest were no whole request: the server waits for more of it until the client goes.
    expect(answered).toBeGreaterThan(150)
    expect((await ask(served.port, '/api/health')).status).toBe(200)
    expect(served.log.filter((line) => line.includes('TypeError'))).toEqual([])
  })

  it.each([
    ['nonsense', 'nonsense\r\n\r\n', 400, 'EVP_REQUEST_INVALID'],
    ['too long headers', `GET / HTTP/1.1\r\n${HOST}X: ${'y'.repeat(20_000)}\r\n\r\n`, 431, 'EVP_TOO_LARGE'],
    [
      'a bad WebSocket key',
      `GET ${STREAM_PATH} HTTP/1.1\r\n${HOST}Connection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Key: x\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Protocol: ${SUBPROTOCOL}\r\n\r\n`,
      400,
      'EVP_SOCKET_MESSAGE',
    ],
  ] as const)('what no route ever sees is refused in the usual form too: %s', async (_, request, status, code) => {
    const [head = '', body = ''] = (await exchange(request)).split('\r\n\r\n')
    expect(head).toContain(`HTTP/1.1 ${status} `)
    expect(errorBody.parse(JSON.parse(body)).code).toBe(code)
  })
})

const BAD_MESSAGES = [
  '',
  'hello',
  '{',
  'null',
  '[]',
  '0',
  '{}',
  '{"type":"nothing"}',
  '{"type":"subscribe"}',
  '{"type":"subscribe","zones":"a"}',
  '{"type":"subscribe","zones":[{"zone":"nowhere"}]}',
  '{"type":"subscribe","zones":[{"zone":"a","afterSeq":-1}]}',
  '{"type":"subscribe","zones":[{"zone":"a","afterSeq":1.5}]}',
  '{"type":"subscribe","zones":[{"zone":"a"}],"more":1}',
  '{"type":"missed","zone":"a","fromSeq":5,"toSeq":1}',
  '{"type":"missed","zone":"a","fromSeq":1,"toSeq":1e999}',
  '{"type":"missed","zone":{"toString":1},"fromSeq":1,"toSeq":2}',
  '{"__proto__":{"type":"subscribe","zones":[]}}',
]

describe('what is not a proper message', () => {
  it('200 of them are each refused with a reason; after five the client is closed, and the gateway goes on', async () => {
    const random = fc.sample(
      fc.oneof(
        fc.json().filter((text) => !text.includes('"type"')),
        fc.uint8Array({ minLength: 1, maxLength: 200 }),
      ),
      { numRuns: 200 - BAD_MESSAGES.length, seed: 7 },
    )
    const all = [...BAD_MESSAGES, ...random]
    let refused = 0
    for (let at = 0; at < all.length; at += MAX_REFUSALS) {
      const peer = await StreamPeer.open(served.port, { a: undefined })
      for (const message of all.slice(at, at + MAX_REFUSALS)) peer.socket.send(message)
      await until(() => peer.closed !== null, 'the client to be closed')
      expect(peer.closed?.code).toBe(1008)
      for (const { error } of peer.all('refused')) expect(error.remedy).not.toBe('')
      refused += peer.all('refused').length
    }
    expect(refused).toBe(200)
    const peer = await StreamPeer.open(served.port, { a: undefined })
    await until(() => peer.values(0).length === 1, 'a sample')
    await peer.close()
  })

  it('a refused message leaves what was subscribed before in force', async () => {
    const peer = await StreamPeer.open(served.port, { a: undefined })
    await peer.first('caught-up')
    peer.socket.send('nonsense')
    const { error } = await peer.first('refused')
    expect(error).toMatchObject({ code: 'EVP_SOCKET_MESSAGE', message: 'expected JSON' })
    const before = peer.values(0).length
    served.hub.frame('a', oneCell(10, 2))
    await until(() => peer.values(0).length === before + 1, 'a live sample')
    await peer.close()
  })

  it('a message longer than allowed closes the socket with the code for too big', async () => {
    const peer = await StreamPeer.open(served.port, {})
    peer.socket.send('x'.repeat(MAX_CLIENT_MESSAGE_BYTES + 1))
    await until(() => peer.closed !== null, 'the close')
    expect(peer.closed?.code).toBe(1009)
  })

  it('bytes that are no WebSocket frame close the socket with the code for a protocol error', async () => {
    const peer = await StreamPeer.open(served.port, {})
    // Unmasked text frame: RFC 6455, 5.1, a server closes on it; 7.4.1, code 1002.
    const raw = peer.socket as WebSocket & { _socket: { write(bytes: Uint8Array): void } }
    raw._socket.write(Buffer.from('810568656c6c6f', 'hex'))
    await until(() => peer.closed !== null, 'the close')
    expect(peer.closed?.code).toBe(1002)
  })
})
