import { MAX_CLIENT_MESSAGE_BYTES, STREAM_PATH, SUBPROTOCOL } from '../../../shared/protocol/version.ts'
import { TOKENS } from '../../access/support/made-access.ts'

/** One bad thing to send, and what it may be answered with. */
export interface Bad {
  readonly what: string
  readonly bytes: Buffer
  /** Statuses that are a clean refusal of it; null: it is no whole request, and no answer is right too. */
  readonly refusals: readonly number[] | null
}

const raw = (text: string) => Buffer.from(text, 'latin1')
const HOST = 'Host: localhost\r\n'
const AUTH = `Authorization: Bearer ${TOKENS.engineer}\r\n`

const get = (headers: string, path = '/api/health') => raw(`GET ${path} HTTP/1.1\r\n${HOST}${headers}\r\n`)
const send = (path: string, body: Buffer, headers = 'Content-Type: application/json\r\n', length = body.length) =>
  Buffer.concat([raw(`POST ${path} HTTP/1.1\r\n${HOST}${AUTH}${headers}Content-Length: ${length}\r\n\r\n`), body])

const ID = 'x'.repeat(43)
const cookies = (port: number): Bad[] =>
  [
    '',
    ';',
    '='.repeat(200),
    `evenpull-PORT`,
    'evenpull-PORT=',
    `evenpull-PORT=${ID}`,
    `evenpull-PORT=${ID}; evenpull-PORT=${ID}`,
    `evenpull-PORT="${ID}"`,
    `evenpull-PORT=${'y'.repeat(4000)}`,
    'evenpull-PORT=../../etc/passwd',
    'evenpull-PORT=%00%00',
    'evenpull-PORT=[object Object]',
    'evenpull-PORT=__proto__',
    'evenpull-PORT=constructor',
    'evenpull-PORT=\xff\xfe\xfd',
    `__Host-evenpull-PORT=${ID}`,
    `EVENPULL-PORT=${ID}`,
    `evenpull-PORT=${ID}\t; a=b`,
    `a=b;${'c=d;'.repeat(900)}`,
    `evenpull-0=${ID}`,
  ].map((text) => ({
    what: `cookie ${text.slice(0, 40)}`,
    bytes: get(`Cookie: ${text.replaceAll('PORT', String(port))}\r\n`),
    refusals: [401],
  }))

const authorizations = (): Bad[] =>
  [
    'Bearer',
    'Bearer ',
    'Bearer  ',
    'Bearer evp_',
    `Bearer evp_${'a'.repeat(43)}`,
    `Bearer ${'a'.repeat(9000)}`,
    'Bearer null',
    'Bearer undefined',
    'Bearer __proto__',
    `Bearer ${TOKENS.engineer} ${TOKENS.engineer}`,
    `Bearer ${TOKENS.engineer},x`,
    `Token ${TOKENS.engineer}`,
    TOKENS.engineer,
    'Basic',
    'Basic ====',
    'Basic Og==',
    `Basic ${Buffer.from('A. Fitter:').toString('base64')}`,
    `Basic ${Buffer.from(`V. Viewer:${TOKENS.engineer}`).toString('base64')}`,
    `Basic ${Buffer.from([0xff, 0xfe, 0x3a, 0xff]).toString('base64')}`,
    'Digest username="A. Fitter"',
    'Bearer \xe9\xe9\xe9',
  ].map((text) => ({
    what: `authorization ${text.slice(0, 40)}`,
    bytes: get(`Authorization: ${text}\r\n`),
    refusals: [401],
  }))

const headers = (): Bad[] =>
  [
    'X: a\r\n b: c\r\n',
    'Bad Header\r\n',
    ': empty\r\n',
    'X\x00Y: z\r\n',
    'X: a\x00b\r\n',
    'X: a\rb\r\n',
    `X: ${'y'.repeat(17_000)}\r\n`,
    'Z: z\r\n'.repeat(3000),
    'Host: other.example\r\n',
    'Content-Length: -1\r\n',
    'Content-Length: 1e3\r\n',
    'Content-Length: 5, 5\r\n',
    'Content-Length: 99999999999999999999\r\n',
    'Content-Length: 3\r\nTransfer-Encoding: chunked\r\n',
    'Transfer-Encoding: gzip, chunked\r\n',
    'Transfer-Encoding: chunked, identity\r\n',
    'Transfer-Encoding: xchunked\r\n',
    'Expect: nonsense\r\n',
    'Upgrade: h2c\r\nConnection: Upgrade\r\n',
    'Upgrade: websocket\r\nConnection: Upgrade\r\n',
  ].map((text) => ({
    what: `header ${text.slice(0, 40)}`,
    bytes: get(text),
    refusals: [400, 401, 403, 404, 411, 413, 417, 431, 501],
  }))

const lines = (): Bad[] =>
  [
    'GET /api/health HTTP/9.9',
    'GET /api/health HTTP/1.1 HTTP/1.1',
    'GET  /api/health HTTP/1.1',
    'get /api/health HTTP/1.1',
    'G\x00T /api/health HTTP/1.1',
    'PRI * HTTP/2.0',
    'OPTIONS * HTTP/1.1',
    'TRACE /api/health HTTP/1.1',
    'GET http://stranger.example/api/health HTTP/1.1',
    'GET //stranger.example/api/health HTTP/1.1',
    'DELETE /api/users HTTP/1.1',
    'PATCH /api/session HTTP/1.1',
  ].map((line) => ({ what: line, bytes: raw(`${line}\r\n${HOST}\r\n`), refusals: [400, 401, 403, 404, 405, 501, 505] }))

const paths = (): Bad[] =>
  [
    '/../../../etc/passwd',
    '/..%2f..%2f..%2fetc%2fpasswd',
    '/%2e%2e/%2e%2e/package.json',
    '/.evenpull/users.json',
    '/..%5c..%5cpackage.json',
    '/%00',
    '/index.html%00.png',
    '/%c0%ae%c0%ae/package.json',
    '/%zz',
    '/api/zones/%2e%2e/now',
    '/api/zones/%2f/now',
    '/api/zones/%00/now',
    '/api/zones/__proto__/now',
    '/api/zones/constructor/now',
    `/api/zones/${'a'.repeat(5000)}/now`,
    '/api/users/..%2f..%2f',
    '/api//health',
    '/api/health/',
    '/api/registers?device=a&device=b',
    '/api/registers?device=amplifier&count=1e9',
    '/api/revisions?limit=-1',
    '/api/revisions?limit=NaN',
    '/api/revisions?__proto__=1',
    `/api/revisions?${'a=1&'.repeat(500)}`,
    '/api/zones/infeed/now?%',
    '/package.json',
    '/gateway/main.ts',
  ].map((path) => ({
    what: `path ${path.slice(0, 60)}`,
    bytes: get(AUTH, path),
    refusals: [400, 403, 404, 405, 414, 431],
  }))

const COMPUTE = '/api/compute/statistics'
const CHANGE = '/api/channels/ds/calibration'
const bodies = (): Bad[] =>
  [
    '',
    ' ',
    '{',
    '[',
    'null',
    '0',
    '"text"',
    'NaN',
    '{}',
    '[]',
    '{"a":}',
    "{'a':1}",
    '{"a":1,}',
    '{"__proto__":{"x":1}}',
    '{"constructor":{"prototype":{}}}',
    '{"timesS":[1e999]}',
    '{"timesS":{"length":1e9}}',
    '{"timesS":"1"}',
    `${'['.repeat(5000)}${']'.repeat(5000)}`,
    `${'{"a":'.repeat(40)}1${'}'.repeat(40)}`,
    `{"a":"${'b'.repeat(200_000)}"}`,
    '{"a":"\u0000"}',
    '{"a":1}{"b":2}',
    '{"who":{"toString":1}}',
    '{"timesS":[1,2],"forces":{"driveSideN":[1],"operatorSideN":[1,2]}}',
    '\ufeff{}',
  ].flatMap((text) =>
    [COMPUTE, CHANGE].map((path) => ({
      what: `body to ${path} ${text.slice(0, 30)}`,
      bytes: send(path, Buffer.from(text)),
      refusals: text === '' ? [400, 413, 415] : [400, 413],
    })),
  )

const badBytes = (): Bad[] =>
  [
    [0xff],
    [0xc0, 0xaf],
    [0xed, 0xa0, 0x80],
    [0xf8, 0x88, 0x80, 0x80, 0x80],
    [0x7b, 0x22, 0xe2, 0x28, 0xa1, 0x22, 0x7d],
    [0xff, 0xfe, 0x7b, 0x00],
  ].map((bytes) => ({ what: `UTF-8 ${bytes}`, bytes: send(COMPUTE, Buffer.from(bytes)), refusals: [400] }))

const types = (): Bad[] =>
  [
    '',
    'Content-Type: text/plain\r\n',
    'Content-Type: application/x-www-form-urlencoded\r\n',
    'Content-Type: multipart/form-data; boundary=x\r\n',
    'Content-Type: application/json; charset=utf-16\r\n',
    'Content-Type: application/json\r\nContent-Encoding: gzip\r\n',
    'Content-Type: application/jsonx\r\n',
  ].map((text) => ({ what: `type ${text.trim()}`, bytes: send(COMPUTE, Buffer.from('{}'), text), refusals: [415] }))

const oversize = (): Bad[] => [
  ...[COMPUTE, CHANGE].map((path) => ({
    what: `${path} 2 MiB announced and sent`,
    bytes: send(path, Buffer.alloc(2 * 1024 * 1024, 0x20)),
    refusals: [413],
  })),
  {
    what: 'a log-in of 5000 bytes',
    bytes: send('/api/session', Buffer.from(JSON.stringify({ name: 'x'.repeat(5000), password: '' }))),
    refusals: [413],
  },
  {
    what: 'a terabyte announced',
    bytes: send(COMPUTE, Buffer.from('{}'), 'Content-Type: application/json\r\n', 1e12),
    refusals: [413],
  },
  {
    what: '2 MiB in chunks',
    bytes: Buffer.concat([
      raw(
        `POST ${COMPUTE} HTTP/1.1\r\n${HOST}${AUTH}Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n200000\r\n`,
      ),
      Buffer.alloc(0x200000, 0x20),
      raw('\r\n0\r\n\r\n'),
    ]),
    refusals: [413],
  },
  {
    what: 'a body where none belongs',
    bytes: raw(`GET /api/health HTTP/1.1\r\n${HOST}${AUTH}Content-Length: 2\r\n\r\n{}`),
    refusals: [413],
  },
]

/** Begun and not ended: the other end hangs up in the middle. */
const halfOpen = (): Bad[] =>
  [
    '',
    'G',
    'GET /api/health',
    `GET /api/health HTTP/1.1\r\n${HOST}`,
    `GET /api/health HTTP/1.1\r\n${HOST}X: `,
    `POST ${COMPUTE} HTTP/1.1\r\n${HOST}${AUTH}Content-Type: application/json\r\nContent-Length: 100\r\n\r\n{"a"`,
    `POST ${COMPUTE} HTTP/1.1\r\n${HOST}${AUTH}Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n5\r\n{"a`,
    `POST ${COMPUTE} HTTP/1.1\r\n${HOST}${AUTH}Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n`,
    `GET ${STREAM_PATH} HTTP/1.1\r\n${HOST}${AUTH}Connection: Upgrade\r\nUpgrade: websocket\r\n`,
    `CONNECT localhost:1 HTTP/1.1\r\n${HOST}\r\n`,
    '\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03',
  ].map((text) => ({ what: `half ${JSON.stringify(text.slice(0, 40))}`, bytes: raw(text), refusals: null }))

const upgrades = (): Bad[] =>
  [
    `${AUTH}Sec-WebSocket-Key: x\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Protocol: ${SUBPROTOCOL}\r\n`,
    `${AUTH}Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 99\r\nSec-WebSocket-Protocol: ${SUBPROTOCOL}\r\n`,
    `${AUTH}Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Protocol: evenpull.v99\r\n`,
    `${AUTH}Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n`,
    `${AUTH}Origin: http://stranger.example\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Protocol: ${SUBPROTOCOL}\r\n`,
    `Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Protocol: ${SUBPROTOCOL}\r\n`,
  ].map((text) => ({
    what: `upgrade ${text.slice(text.indexOf('Sec-'), 80)}`,
    bytes: get(`Connection: Upgrade\r\nUpgrade: websocket\r\n${text}`, STREAM_PATH),
    refusals: [400, 401, 403],
  }))

/** Everything malformed over HTTP, for a gateway at this port: its cookies carry it in their name. */
export const allRequests = (port: number): Bad[] =>
  [cookies, authorizations, headers, lines, paths, bodies, badBytes, types, oversize, halfOpen, upgrades].flatMap(
    (group) => group(port),
  )

/** A message or frame that breaks the protocol of the stream, and the code the socket is closed with (RFC 6455, 7.4.1). */
export const FRAMES: readonly { readonly what: string; readonly frame: Buffer; readonly code: number }[] = [
  { what: 'text without a mask', frame: Buffer.from('810568656c6c6f', 'hex'), code: 1002 },
  { what: 'a reserved bit', frame: Buffer.from('c18000000000', 'hex'), code: 1002 },
  { what: 'a reserved opcode', frame: Buffer.from('838000000000', 'hex'), code: 1002 },
  { what: 'a fragmented ping', frame: Buffer.from('098000000000', 'hex'), code: 1002 },
  { what: 'a ping of 126 bytes', frame: Buffer.from('89fe007e00000000', 'hex'), code: 1002 },
  { what: 'a continuation of nothing', frame: Buffer.from('808000000000', 'hex'), code: 1002 },
  { what: 'a close of one byte', frame: Buffer.from('88810000000000', 'hex'), code: 1002 },
  { what: 'a close with a code nobody may send', frame: Buffer.from('88820000000003ed', 'hex'), code: 1002 },
  { what: 'text that is not UTF-8', frame: Buffer.from('818100000000ff', 'hex'), code: 1007 },
  { what: '2^62 bytes announced', frame: Buffer.from('81ff400000000000000000000000', 'hex'), code: 1009 },
  {
    what: 'a message beyond the limit announced',
    frame: Buffer.from('81ff000000000001000000000000', 'hex'),
    code: 1009,
  },
]
export const MESSAGES = [
  '',
  '{',
  'null',
  '[]',
  '"subscribe"',
  '{"type":"__proto__"}',
  '{"type":"subscribe","zones":[{"zone":"infeed","afterSeq":1e999}]}',
]
export const TOO_LONG = 'x'.repeat(MAX_CLIENT_MESSAGE_BYTES + 1)
