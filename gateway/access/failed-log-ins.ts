import { isIPv6 } from 'node:net'

/** How patience with one name, or one address, runs out. */
interface Patience {
  /** Failures that cost nothing: people mistype. */
  readonly free: number
  readonly longestMs: number
  readonly forgetMs: number
}

/**
 * Common practice, no source. A name is held back a minute at most, or a stranger could keep its owner out;
 * an address longer, though a proxy may stand for many.
 */
const BY_NAME: Patience = { free: 3, longestMs: 60_000, forgetMs: 15 * 60_000 }
const BY_ADDRESS: Patience = { free: 10, longestMs: 15 * 60_000, forgetMs: 60 * 60_000 }
const FIRST_DELAY_MS = 1000
/** Remembered of each at most; the longest untouched are forgotten first. */
const MOST = 5000
const FORGOTTEN_AT_ONCE = 500

interface Failures {
  count: number
  lastMs: number
}

/** Failed log-ins in a row, by name (whether there is such a user or not) and by address: each costs more waiting. */
export class FailedLogIns {
  readonly #names = new Map<string, Failures>()
  readonly #addresses = new Map<string, Failures>()

  get size(): number {
    return this.#names.size + this.#addresses.size
  }

  /** How long the next try has to wait; 0: now. Monotonic ms. */
  waitMs(name: string, address: string, nowMs: number): number {
    return Math.max(
      waitOf(this.#names.get(name), BY_NAME, nowMs),
      waitOf(this.#addresses.get(networkOf(address)), BY_ADDRESS, nowMs),
    )
  }

  failed(name: string, address: string, nowMs: number): void {
    note(this.#names, name, BY_NAME, nowMs)
    note(this.#addresses, networkOf(address), BY_ADDRESS, nowMs)
  }

  /** The name is forgiven, the address is not: with one good account somebody could go on guessing at others. */
  succeeded(name: string): void {
    this.#names.delete(name)
  }
}

/** After the free ones 1 s, 2 s, 4 s … from the last failure. */
function waitOf(failures: Failures | undefined, { free, longestMs, forgetMs }: Patience, nowMs: number): number {
  if (failures === undefined || nowMs - failures.lastMs >= forgetMs || failures.count < free) return 0
  const delayMs = Math.min(longestMs, FIRST_DELAY_MS * 2 ** Math.min(20, failures.count - free))
  return Math.max(0, failures.lastMs + delayMs - nowMs)
}

function note(map: Map<string, Failures>, key: string, { forgetMs }: Patience, nowMs: number): void {
  const known = map.get(key)
  const count = known === undefined || nowMs - known.lastMs >= forgetMs ? 1 : known.count + 1
  map.delete(key)
  if (map.size >= MOST) forgetOldest(map)
  map.set(key, { count, lastMs: nowMs })
}

/** Many at a time: to find the first of a map costs as much as has been taken from it before. */
function forgetOldest(map: Map<string, Failures>): void {
  let left = FORGOTTEN_AT_ONCE
  for (const key of map.keys()) {
    if (left === 0) return
    left -= 1
    map.delete(key)
  }
}

/** One machine has as many IPv6 addresses as it likes within its /64 (RFC 4291, 2.5.4). */
function networkOf(address: string): string {
  const plain = address.replace(/^::ffff:(?=\d+\.)/i, '')
  if (!isIPv6(plain)) return plain
  const [head = '', tail] = (plain.split('%')[0] ?? '').split('::')
  const before = head === '' ? [] : head.split(':')
  const after = tail === undefined || tail === '' ? [] : tail.split(':')
  const zeros = tail === undefined ? [] : Array<string>(Math.max(0, 8 - before.length - after.length)).fill('0')
  return [...before, ...zeros, ...after]
    .slice(0, 4)
    .map((part) => Number.parseInt(part, 16).toString(16))
    .join(':')
}
