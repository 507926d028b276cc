import type { RecordEntry, RecordHead, VerificationRecord } from '../../shared/schemas/verification.ts'

/** SHA-256 of a text, hex. Handed in, so that this computes without anything of a system. */
export type Sha256 = (text: string) => string

/**
 * A value as one text, whoever writes it: keys sorted by code unit, no spaces, numbers as ECMAScript writes them, as
 * RFC 8785 (JSON Canonicalization Scheme) has it. Undefined values are left out; NaN and infinities are refused
 * (RangeError), since JSON has none.
 */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'number' && !Number.isFinite(value))
    throw new RangeError('JSON knows no number that is not finite')
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null'
  if (Array.isArray(value)) return `[${value.map((one) => canonicalJson(one ?? null)).join(',')}]`
  const fields = Object.entries(value).filter(([, field]) => field !== undefined)
  const sorted = fields.sort(([a], [b]) => (a < b ? -1 : 1))
  return `{${sorted.map(([key, field]) => `${JSON.stringify(key)}:${canonicalJson(field)}`).join(',')}}`
}

export const headHash = (head: RecordHead, sha256: Sha256): string => sha256(canonicalJson(head))

/** Everything of an entry but its own hash; the hash of the one before is part of it. */
export function entryHash(entry: Omit<RecordEntry, 'hash'>, sha256: Sha256): string {
  const { hash: _, ...rest } = entry as RecordEntry
  return sha256(canonicalJson(rest))
}

export interface Broken {
  /** 0: the head. */
  readonly seq: number
  readonly what: string
}

/** Where a record is not what was written; none where every hash holds. */
export function checkChain({ head, entries, digest }: VerificationRecord, sha256: Sha256): Broken[] {
  const broken: Broken[] = []
  let previous = headHash(head, sha256)
  const first = entries[0]
  if (first !== undefined && first.previous !== previous)
    broken.push({ seq: 0, what: 'the head is not the one that the first entry was added to' })
  for (const [i, entry] of entries.entries()) {
    if (entry.seq !== i + 1)
      broken.push({ seq: entry.seq, what: `an entry is missing before it, or stands twice: it should be ${i + 1}` })
    if (i > 0 && entry.previous !== previous)
      broken.push({ seq: entry.seq, what: 'it does not follow the entry before it' })
    if (entryHash(entry, sha256) !== entry.hash)
      broken.push({ seq: entry.seq, what: 'it was changed after it was written' })
    previous = entry.hash
  }
  if (digest !== previous) broken.push({ seq: entries.length, what: 'the digest is not that of the newest entry' })
  return broken
}
