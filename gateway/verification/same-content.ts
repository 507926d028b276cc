import { canonicalJson } from '../../lib/verification/chain.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { CaptureAsk } from '../../shared/schemas/verification/capture.ts'
import type { NewEntry, NewVerification, RecordEntry, RecordHead } from '../../shared/schemas/verification.ts'
import { sha256 } from './record-store.ts'

/**
 * Throws EVP_KEY_REUSED where an entry with the key of `kept` is not what was sent then. Who sends it does not count:
 * what waited in a browser may be sent once more after somebody has logged in.
 */
export function refuseOtherEntry(kept: RecordEntry, sent: NewEntry): void {
  if (canonicalJson(contentOf(kept)) === canonicalJson(contentOf(sent))) return
  throw keyReused(`key ${sent.key} is that of entry ${kept.seq}, a ${kept.kind} of other content`)
}

/** The same for a record that is begun twice. */
export function refuseOtherRecord({ zone, title }: RecordHead, sentZone: string, sent: NewVerification): void {
  if (zone === sentZone && title === sent.title) return
  throw keyReused(`key ${sent.key} is that of the record “${title}” of zone ${JSON.stringify(zone)}`)
}

const keyReused = (what: string) => new EvenpullError('EVP_KEY_REUSED', what)

/** What somebody said with an entry, whether it was sent or is kept: what the gateway made of it is left out. */
function contentOf(entry: NewEntry | RecordEntry): unknown {
  switch (entry.kind) {
    case 'result': {
      const { kind, test, phase, values } = entry
      return { kind, test, phase, values, captures: entry.captures.map(askOf) }
    }
    case 'not-done':
      return { kind: entry.kind, test: entry.test, reason: entry.reason }
    case 'note':
      return { kind: entry.kind, test: entry.test, text: entry.text }
    case 'photo': {
      const { kind, test, caption, mediaType } = entry
      const hash = 'data' in entry ? sha256(Buffer.from(entry.data, 'base64')) : entry.sha256
      return { kind, test, caption, mediaType, sha256: hash }
    }
    case 'signature':
      return { kind: entry.kind, name: entry.name }
    case 'correction':
      return { kind: entry.kind, of: entry.of, text: entry.text }
  }
}

const askOf = ({ key, capture, fromMs, toMs, values }: CaptureAsk): CaptureAsk => ({
  key,
  capture,
  fromMs,
  toMs,
  values,
})
