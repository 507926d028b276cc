import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto'
import { promisify } from 'node:util'

/** What a guess costs: N = 2^ln blocks of 128·r bytes, p times (RFC 7914, section 2). */
export interface HashCost {
  readonly ln: number
  readonly r: number
  readonly p: number
}

/**
 * OWASP Password Storage Cheat Sheet: N = 2^15, r = 8, p = 3 (status M), one of its settings of equal strength; the
 * usual one (2^17, 8, 1; status V2) would take 128 MiB of a small machine at each log-in, this takes 32 MiB.
 */
export const HASH_COST: HashCost = { ln: 15, r: 8, p: 3 }

const SALT_BYTES = 16
const HASH_BYTES = 32
/** A stored hash may not ask for more than this: 256 MiB, and minutes of one core. */
const MOST: HashCost = { ln: 18, r: 8, p: 16 }

const derive = promisify<string | Buffer, Buffer, number, ScryptOptions, Buffer>(scrypt)

/** scrypt of RFC 7914. Rejects with a RangeError where node:crypto does. */
export function scryptKey(password: string, salt: Buffer, cost: HashCost, bytes: number): Promise<Buffer> {
  const { ln, r, p } = cost
  const N = 2 ** ln
  return derive(password, salt, bytes, { N, r, p, maxmem: 128 * r * (N + p + 2) + 1024 * 1024 })
}

/**
 * A password as it is kept, in the PHC string format: `$scrypt$ln=15,r=8,p=3$SALT$HASH`, base64 without padding.
 * The same text typed on another keyboard is the same password: NFKC (NIST SP 800-63B, 5.1.1.2, status M).
 */
export async function hashPassword(password: string, cost: HashCost = HASH_COST): Promise<string> {
  const salt = randomBytes(SALT_BYTES)
  const hash = await scryptKey(password.normalize('NFKC'), salt, cost, HASH_BYTES)
  return `$scrypt$ln=${cost.ln},r=${cost.r},p=${cost.p}$${base64(salt)}$${base64(hash)}`
}

/** Whether a password is the one kept. A text that is no such hash, or asks for too much, fits no password. */
export async function isPassword(password: string, kept: string): Promise<boolean> {
  const parsed = parseHash(kept)
  if (parsed === null) return false
  const hash = await scryptKey(password.normalize('NFKC'), parsed.salt, parsed.cost, parsed.hash.length)
  return timingSafeEqual(hash, parsed.hash)
}

function parseHash(kept: string): { cost: HashCost; salt: Buffer; hash: Buffer } | null {
  const match = /^\$scrypt\$ln=(\d{1,2}),r=(\d{1,2}),p=(\d{1,2})\$([A-Za-z0-9+/]{22,86})\$([A-Za-z0-9+/]{43,86})$/.exec(
    kept,
  )
  if (match === null) return null
  const [, ln, r, p, salt = '', hash = ''] = match
  const cost = { ln: Number(ln), r: Number(r), p: Number(p) }
  const isSane = cost.ln >= 1 && cost.r >= 1 && cost.p >= 1
  if (!isSane || cost.ln > MOST.ln || cost.r > MOST.r || cost.p > MOST.p) return null
  return { cost, salt: Buffer.from(salt, 'base64'), hash: Buffer.from(hash, 'base64') }
}

const base64 = (bytes: Buffer) => bytes.toString('base64').replace(/=+$/, '')
