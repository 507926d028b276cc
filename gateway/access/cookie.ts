import type { IncomingMessage } from 'node:http'
import type { TLSSocket } from 'node:tls'

/** How a request reached us. */
export interface ClientFacts {
  /** Address of the other end; empty when it has gone. */
  readonly address: string
  /** Our port it was sent to. */
  readonly port: number
  /** Over TLS. */
  readonly encrypted: boolean
}

export function clientOf({ socket }: Pick<IncomingMessage, 'socket'>): ClientFacts {
  return {
    address: socket.remoteAddress ?? '',
    port: socket.localPort ?? 0,
    encrypted: (socket as TLSSocket).encrypted === true,
  }
}

/**
 * Name of the session's cookie. Browsers keep cookies by host, not by port: two gateways of one machine would log each
 * other's users out. Over TLS the prefix makes the browser refuse the cookie from anybody else (RFC 6265bis, 4.1.3.2, M).
 */
const cookieName = ({ port, encrypted }: ClientFacts) => `${encrypted ? '__Host-' : ''}evenpull-${port}`

/** Set-Cookie of a session; null ends it. */
export function sessionCookie(client: ClientFacts, id: string | null, longestSeconds: number): string {
  const age = id === null ? 0 : Math.round(longestSeconds)
  const secure = client.encrypted ? '; Secure' : ''
  return `${cookieName(client)}=${id ?? ''}; Path=/; Max-Age=${age}; HttpOnly; SameSite=Strict${secure}`
}

/** Session id of a Cookie header; null without a well-formed one. A name given twice is nobody's. */
export function sessionIdIn(header: string | undefined, client: ClientFacts): string | null {
  const name = cookieName(client)
  const values = (header ?? '')
    .split(';')
    .map((pair) => pair.trim())
    .filter((pair) => pair.startsWith(`${name}=`))
    .map((pair) => pair.slice(name.length + 1))
  const [value] = values
  return values.length === 1 && value !== undefined && /^[\w-]{43}$/.test(value) ? value : null
}

/** Token of an Authorization header: Bearer, or the password of Basic with the name it was given under; else null. */
export function tokenIn(header: string | undefined): { readonly token: string; readonly name: string | null } | null {
  const [, scheme = '', value = ''] = /^(bearer|basic) +([\w.~+/=-]{1,512})$/i.exec(header ?? '') ?? []
  if (scheme.toLowerCase() === 'bearer') return { token: value, name: null }
  if (scheme === '') return null
  const pair = Buffer.from(value, 'base64').toString('utf8')
  const colon = pair.indexOf(':')
  return colon < 0 ? null : { token: pair.slice(colon + 1), name: pair.slice(0, colon) }
}
