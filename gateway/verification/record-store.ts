import { createHash } from 'node:crypto'
import { checkChain, entryHash, headHash } from '../../lib/verification/chain.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type {
  RecordCheck,
  RecordEntry,
  RecordHead,
  VerificationList,
  VerificationRecord,
} from '../../shared/schemas/verification.ts'
import type { Recorder } from '../recorder/recorder.ts'

export const sha256 = (data: string | Uint8Array): string => createHash('sha256').update(data).digest('hex')

const HEADS = 'verification'
const PHOTOS = 'verification-photo'
const entriesOf = (id: string): string => `${HEADS}/${id}`
/** Documents of a kind come in the order of their ids. */
const entryId = (seq: number): string => String(seq).padStart(6, '0')

/** What reads records: the recorder of a running gateway, or a store on the disk. */
export interface RecordReader {
  get(kind: string, id: string): Promise<{ readonly body: string } | undefined>
  list(kind: string): Promise<readonly { readonly id: string; readonly body: string }[]>
}

/** Everything but its hashes and its place. */
export type UnchainedEntry = RecordEntry extends infer Entry
  ? Entry extends RecordEntry
    ? Omit<Entry, 'seq' | 'previous' | 'hash'>
    : never
  : never

/** A record as it is kept. Rejects with EVP_NOT_FOUND. */
export async function readRecord(documents: RecordReader, id: string): Promise<VerificationRecord> {
  const head = await documents.get(HEADS, id)
  if (head === undefined)
    throw new EvenpullError('EVP_NOT_FOUND', `no verification record ${JSON.stringify(id.slice(0, 80))}`)
  const kept = await documents.list(entriesOf(id))
  const entries = kept.map(({ body }) => JSON.parse(body) as RecordEntry)
  const parsed = JSON.parse(head.body) as RecordHead
  return {
    head: parsed,
    entries,
    digest: entries.at(-1)?.hash ?? headHash(parsed, sha256),
    signed: entries.some(({ kind }) => kind === 'signature'),
  }
}

/** The newest first. */
export async function listRecords(documents: RecordReader, zone: string | null): Promise<VerificationList> {
  const heads = (await documents.list(HEADS)).map(({ body }) => JSON.parse(body) as RecordHead)
  const wanted = heads.filter((head) => zone === null || head.zone === zone)
  const records = await Promise.all(
    wanted.map(async ({ id }) => {
      const { head, entries, digest, signed } = await readRecord(documents, id)
      const { zone: of, title, begunBy, begunMs } = head
      const changedMs = entries.at(-1)?.timeMs ?? begunMs
      return { id, zone: of, title, begunBy, begunMs, changedMs, entries: entries.length, signed, digest }
    }),
  )
  return { records: records.toSorted((a, b) => b.begunMs - a.begunMs) }
}

/** The bytes of a photo; undefined when it is not there. */
export async function readPhoto(documents: RecordReader, hash: string): Promise<Buffer | undefined> {
  const kept = await documents.get(PHOTOS, hash)
  return kept === undefined ? undefined : Buffer.from((JSON.parse(kept.body) as { data: string }).data, 'base64')
}

/** Whether a record is what was written: every hash, and every photo by its own. */
export async function checkRecord(documents: RecordReader, id: string): Promise<RecordCheck> {
  const record = await readRecord(documents, id)
  const broken = checkChain(record, sha256)
  for (const entry of record.entries) {
    if (entry.kind !== 'photo') continue
    const photo = await readPhoto(documents, entry.sha256)
    if (photo === undefined) broken.push({ seq: entry.seq, what: 'its photo is not there' })
    else if (sha256(photo) !== entry.sha256)
      broken.push({ seq: entry.seq, what: 'its photo was changed after it was written' })
  }
  return { id, whole: broken.length === 0, entries: record.entries.length, digest: record.digest, broken }
}

/**
 * Records that only grow: an entry is a document of its own, on the disk before it is answered, and bears the hash of
 * the one before. One after another, so that two people at once never take the same place.
 */
export class RecordStore {
  readonly documents: Recorder['document']
  #turn: Promise<unknown> = Promise.resolve()

  constructor(documents: Recorder['document']) {
    this.documents = documents
  }

  begin(head: RecordHead): Promise<VerificationRecord> {
    return this.#inTurn(async () => {
      const before = await this.documents.get(HEADS, head.id)
      if (before === undefined) await this.documents.put(HEADS, head.id, head)
      return readRecord(this.documents, head.id)
    })
  }

  /** Adds what `make` gives for the record as it then stands; it gives the entry that is there already for one that was sent before. */
  append(
    id: string,
    make: (record: VerificationRecord) => Promise<UnchainedEntry | RecordEntry>,
  ): Promise<RecordEntry> {
    return this.#inTurn(async () => {
      const record = await readRecord(this.documents, id)
      const made = await make(record)
      if ('hash' in made) return made
      const chained = { ...made, seq: record.entries.length + 1, previous: record.digest }
      // As it will be read back: what JSON leaves out must not be part of the hash.
      const plain = JSON.parse(JSON.stringify(chained)) as Omit<RecordEntry, 'hash'>
      const entry = { ...plain, hash: entryHash(plain, sha256) } as RecordEntry
      await this.documents.put(entriesOf(id), entryId(entry.seq), entry)
      return entry
    })
  }

  async keepPhoto(bytes: Buffer): Promise<string> {
    const hash = sha256(bytes)
    await this.documents.put(PHOTOS, hash, { data: bytes.toString('base64') })
    return hash
  }

  #inTurn<T>(act: () => Promise<T>): Promise<T> {
    const done = this.#turn.then(act)
    this.#turn = done.catch(() => undefined)
    return done
  }
}
