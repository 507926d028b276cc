import { type IncomingMessage, STATUS_CODES } from 'node:http'
import type { Duplex } from 'node:stream'
import { EvenpullError } from '../../shared/errors.ts'
import { STREAM_PATH, SUBPROTOCOL } from '../../shared/protocol/version.ts'

/** Why an upgrade is not taken: an HTTP status and the error a person can act on. */
export interface UpgradeRefusal {
  readonly status: number
  readonly error: EvenpullError
}

/** Says whether a page of this origin may talk to us under this Host header, both as sent; or a script, with a token. */
export type HostAllowed = (origin: string | undefined, host: string | undefined, hasToken?: boolean) => boolean

/** Checks an upgrade request before the WebSocket handshake; null when it may go on. */
export function refusalOf(req: IncomingMessage, hostAllowed: HostAllowed): UpgradeRefusal | null {
  const path = (req.url ?? '').split('?', 1)[0]
  if (path !== STREAM_PATH)
    return refusal(
      404,
      'EVP_NOT_FOUND',
      `no stream at this address, expected ${STREAM_PATH}`,
      `The stream is at ${STREAM_PATH}.`,
    )
  const { origin, host, authorization } = req.headers
  if (!hostAllowed(origin, host, authorization !== undefined))
    return refusal(403, 'EVP_ORIGIN_REFUSED', `origin ${show(origin)} at host ${show(host)}`)
  const offered = (req.headers['sec-websocket-protocol'] ?? '').split(',').map((name) => name.trim())
  if (!offered.includes(SUBPROTOCOL))
    return refusal(400, 'EVP_SOCKET_MESSAGE', `expected subprotocol ${SUBPROTOCOL}, got ${show(offered.join(', '))}`)
  return null
}

function refusal(
  status: number,
  code: 'EVP_NOT_FOUND' | 'EVP_ORIGIN_REFUSED' | 'EVP_SOCKET_MESSAGE',
  message: string,
  remedy?: string,
): UpgradeRefusal {
  return { status, error: new EvenpullError(code, message, remedy === undefined ? {} : { remedy }) }
}

/** What a stranger sent, short and quoted, for a message. */
function show(text: string | undefined): string {
  return text === undefined || text === '' ? 'none' : JSON.stringify(text.slice(0, 80))
}

/** How long the other end may take to read a refusal and close. */
const LINGER_MS = 1000

/**
 * Answers what is not taken with a plain HTTP response and ends the connection. What still comes in
 * is read and thrown away: closing with bytes unread resets the connection, and the answer is lost.
 */
export function refuseUpgrade(socket: Duplex, { status, error }: UpgradeRefusal): void {
  const body = JSON.stringify(error)
  const head = [
    `HTTP/1.1 ${status} ${STATUS_CODES[status] ?? 'Refused'}`,
    'Connection: close',
    'Content-Type: application/json; charset=utf-8',
    `Content-Length: ${Buffer.byteLength(body)}`,
    'X-Content-Type-Options: nosniff',
  ]
  socket.end(`${head.join('\r\n')}\r\n\r\n${body}`)
  socket.resume()
  const linger = setTimeout(() => socket.destroy(), LINGER_MS)
  socket.once('end', () => socket.destroy())
  socket.once('close', () => clearTimeout(linger))
}
