import { isIP } from 'node:net'
import { hostname } from 'node:os'
import { isLoopback } from '../config/loopback.ts'
import type { HostAllowed } from '../stream/upgrade.ts'

/** Who may talk to the gateway under which name; see `hostPolicy`. */
export interface HostPolicy {
  /** Whether a request's Host header names this gateway. */
  hostNamed(host: string | undefined): boolean
  /** Whether a page of this origin may open the stream, or send a body. */
  readonly originAllowed: HostAllowed
  /** Bound to loopback: only this machine reaches us. */
  readonly isLoopback: boolean
}

export interface HostPolicyOptions {
  /** Further names the gateway is reached by, for example behind a reverse proxy. */
  readonly names?: readonly string[]
  /** Origins allowed although they differ from the Host header: a development server. */
  readonly origins?: readonly string[]
}

/**
 * The rule against DNS rebinding: a page of a stranger's domain, pointed at our address, still says
 * its own name in Host. Bound to loopback, only loopback names are ours. Bound to the network,
 * numeric addresses (which cannot be rebound), this machine's name and the names given are.
 *
 * An origin must be the very host the request was sent to. A request without Origin comes from no page; it is allowed
 * where the gateway is bound to loopback, and with a token, which no page of a stranger can send.
 */
export function hostPolicy(boundTo: string, options: HostPolicyOptions = {}): HostPolicy {
  const loopback = isLoopback(boundTo)
  const given = [...(options.names ?? []), ...(loopback ? [] : [hostname(), boundTo])]
  const names = new Set(given.map((name) => name.toLowerCase()))
  const origins = new Set(options.origins ?? [])
  const hostNamed = (host: string | undefined) => {
    const name = hostName(host)
    if (name === null) return false
    return isLoopback(name) || names.has(name) || (!loopback && isIP(name) !== 0)
  }
  return {
    isLoopback: loopback,
    hostNamed,
    originAllowed(origin, host, hasToken = false) {
      if (!hostNamed(host)) return false
      if (origin === undefined) return loopback || hasToken
      return origins.has(origin) || sameHost(origin, host)
    },
  }
}

/** Name in a Host header, lower case, without port and brackets; null when it is none. */
function hostName(host: string | undefined): string | null {
  if (host === undefined || !/^(\[[0-9a-f:.]+\]|[a-z0-9.-]+)(:\d{1,5})?$/i.test(host)) return null
  return host
    .replace(/:\d{1,5}$/, '')
    .replace(/^\[|\]$/g, '')
    .toLowerCase()
}

function sameHost(origin: string, host: string | undefined): boolean {
  if (!URL.canParse(origin)) return false
  const { protocol, host: originHost } = new URL(origin)
  if (protocol !== 'http:' && protocol !== 'https:') return false
  const asked = `${protocol}//${host}`
  return URL.canParse(asked) && new URL(asked).host === originHost
}
