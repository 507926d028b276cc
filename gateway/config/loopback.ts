import { isIPv4, isIPv6 } from 'node:net'

/**
 * Whether an address can be reached from this machine only: localhost, 127.0.0.0/8 or ::1
 * (RFC 1122 §3.2.1.3, RFC 4291 §2.5.3; localhost by RFC 6761 §6.3).
 */
export function isLoopback(host: string): boolean {
  if (host.toLowerCase() === 'localhost') return true
  if (isIPv4(host)) return host.startsWith('127.')
  return isIPv6(host) && /^(0{0,4}:){1,7}0{0,3}1$/.test(host)
}
