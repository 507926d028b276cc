import { isIPv4, isIPv6 } from 'node:net'
import { EvenpullError } from '../../../shared/errors.ts'
import { type Finding, wrong } from '../finding.ts'
import type { Parts } from '../parts.ts'

/**
 * Whether an address can be reached from this machine only: localhost, 127.0.0.0/8 or ::1
 * (RFC 1122 §3.2.1.3, RFC 4291 §2.5.3; localhost by RFC 6761 §6.3).
 */
export function isLoopback(host: string): boolean {
  if (host.toLowerCase() === 'localhost') return true
  if (isIPv4(host)) return host.startsWith('127.')
  return isIPv6(host) && /^(0{0,4}:){1,7}0{0,3}1$/.test(host)
}

function openBind(host: string): string {
  return (
    `binding to ${host} would open the gateway to the network, and this version has no credentials; ` +
    'expected 127.0.0.1, ::1 or localhost'
  )
}

/** Throws EVP_BIND_OPEN unless `host` is loopback: for addresses that do not come from a config. */
export function requireLoopback(host: string): void {
  if (!isLoopback(host)) throw new EvenpullError('EVP_BIND_OPEN', openBind(host))
}

export function checkHost({ host }: Parts): Finding[] {
  if (host === null || isLoopback(host)) return []
  return [wrong(['gateway', 'host'], `gateway: host: ${openBind(host)}`, 'EVP_BIND_OPEN')]
}
