import { createHash } from 'node:crypto'
import { type Broken, checkChain, entryHash, headHash } from '../../lib/verification/chain.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { EventList, StoredEvent } from '../../shared/schemas/events.ts'
import type {
  EntryList,
  RecordCheck,
  RecordEntry,
  RecordHead,
  VerificationList,
  VerificationRecord,
} from '../../shared/schemas/verification.ts'
import { notThere } from '../not-there.ts'
import type { EventQuery, Recorder } from '../recorder/recorder.ts'

export const sha256 = (data: string | Uint8Array): string => createHash('sha256').update(data).digest('hex')

const HEADS = 'verification'
const PHOTOS = 'verification-photo'
const entriesOf = (id: string): string => `${HEADS}/${id}`
/** Documents of a kind come in the order of their ids. */
const entryId = (seq: number): string => String(seq).padStart(6, '0')

/** What reads records: the recorder of a running gateway, or a store on the disk. */
export interface RecordReader {
  get(kind: string, id: string): Promise<{ readonly body: string } | undefined>
  list(kind: string, fromId?: string): Promise<readonly { readonly id: string; readonly body: string }[]>
}

/** The trail, in which every entry of every record was told when it was added. */
export type Trail = (query: EventQuery) => Promise<EventList>

/** Everything but its hashes and its place. */
export type UnchainedEntry = RecordEntry extends infer Entry
  ? Entry extends RecordEntry
    ? Omit<Entry, 'seq' | 'previous' | 'hash'>
    : never
  : never

/** A record as it is kept. Rejects with EVP_NOT_FOUND, and with EVP_RECORD_DAMAGED where it cannot be read any more. */
export async function readRecord(documents: RecordReader, id: string): Promise<VerificationRecord> {
  const head = await documents.get(HEADS, id)
  if (head === undefined) throw noRecord(id)
  const kept = await documents.list(entriesOf(id))
  const entries = kept.map(({ id: seq, body }) => parsedPart<RecordEntry>(body, id, `entry ${Number(seq)}`))
  const parsed = parsedPart<RecordHead>(head.body, id, 'the head')
  return {
    head: parsed,
    entries,
    digest: entries.at(-1)?.hash ?? headHash(parsed, sha256),
    signed: entries.some(({ kind }) => kind === 'signature'),
  }
}

/** The bytes of a photo; undefined when it is not there. Whether they are still its own, `isPhoto` says. */
export async function readPhoto(documents: RecordReader, hash: string): Promise<Buffer | undefined> {
  const kept = await documents.get(PHOTOS, hash)
  if (kept === undefined) return undefined
  const data = parsedOrNull<{ readonly data: unknown }>(kept.body)?.data
  return typeof data === 'string' ? Buffer.from(data, 'base64') : Buffer.alloc(0)
}

export const isPhoto = (bytes: Buffer, hash: string): boolean => sha256(bytes) === hash

/**
 * Whether a record is what was written: every hash, every photo by its own, and every entry that the trail tells of, as
 * long as the trail is kept. A body that cannot be read any more is a change like any other. Rejects with EVP_NOT_FOUND.
 */
export async function checkRecord(documents: RecordReader, trail: Trail, id: string): Promise<RecordCheck> {
  const { record, broken } = await readAsKept(documents, id)
  const unread = new Set(broken.map(({ seq }) => seq))
  broken.push(...checkChain(record, sha256).filter(({ seq }) => !unread.has(seq)))
  broken.push(...(await checkPhotos(documents, record)))
  broken.push(...(await checkTrail(trail, id, record, new Set(broken.map(({ seq }) => seq)))))
  const ordered = broken.toSorted((a, b) => a.seq - b.seq)
  return { id, whole: ordered.length === 0, entries: record.entries.length, digest: record.digest, broken: ordered }
}

/** What stands in for an entry that cannot be read, so that the ones after it are still checked. */
const unreadable = (seq: number, previous: string, next: Partial<RecordEntry> | null): RecordEntry =>
  ({ kind: 'note', seq, previous, hash: next?.previous ?? '' }) as RecordEntry

/** A record as it stands on the disk, also where it is no JSON any more. */
async function readAsKept(
  documents: RecordReader,
  id: string,
): Promise<{ record: VerificationRecord; broken: Broken[] }> {
  const head = await documents.get(HEADS, id)
  if (head === undefined) throw noRecord(id)
  const kept = await documents.list(entriesOf(id))
  const broken: Broken[] = []
  const parsed = parsedOrNull<RecordHead>(head.body)
  if (parsed === null) broken.push({ seq: 0, what: 'the head was changed: it cannot be read any more' })
  const begin = parsed === null ? '' : headHash(parsed, sha256)
  const read = kept.map(({ body }) => parsedOrNull<RecordEntry>(body))
  const entries = read.map((entry, i) => {
    if (entry !== null) return entry
    const seq = Number(kept[i]?.id)
    broken.push({ seq, what: 'it was changed after it was written: it cannot be read any more' })
    return unreadable(seq, begin, read[i + 1] ?? null)
  })
  const digest = entries.at(-1)?.hash ?? begin
  return { record: { head: parsed ?? ({ id } as RecordHead), entries, digest, signed: false }, broken }
}

function parsedOrNull<T>(body: string): T | null {
  try {
    const value: unknown = JSON.parse(body)
    return typeof value === 'object' && value !== null && !Array.isArray(value) ? (value as T) : null
  } catch {
    return null
  }
}

async function checkPhotos(documents: RecordReader, { entries }: VerificationRecord): Promise<Broken[]> {
  const broken: Broken[] = []
  for (const { seq, ...entry } of entries) {
    if (entry.kind !== 'photo' || typeof entry.sha256 !== 'string') continue
    const photo = await readPhoto(documents, entry.sha256)
    if (photo === undefined) broken.push({ seq, what: 'its photo is not there' })
    else if (!isPhoto(photo, entry.sha256)) broken.push({ seq, what: 'its photo was changed after it was written' })
  }
  return broken
}

/** A chain alone cannot show that its end was taken off, nor that all of it was written anew: the trail can. */
async function checkTrail(
  trail: Trail,
  id: string,
  record: VerificationRecord,
  known: ReadonlySet<number>,
): Promise<Broken[]> {
  const told = (await toldOf(trail, id)).toSorted((a, b) => a.seq - b.seq)
  return told.flatMap(({ seq, hash, text }) => {
    if (known.has(seq)) return []
    const there = seq === 0 ? headHash(record.head, sha256) : record.entries.find((entry) => entry.seq === seq)?.hash
    if (there === undefined) return [{ seq, what: `it is not there any more; the trail told of it: ${text}` }]
    return there === hash ? [] : [{ seq, what: 'it is not the one that the trail told of when it was added' }]
  })
}

interface Told {
  readonly seq: number
  readonly hash: string
  readonly text: string
}

const PAGE = 500

async function toldOf(trail: Trail, id: string): Promise<Told[]> {
  const told: Told[] = []
  for (let before: number | null | undefined; before !== null; ) {
    const { events, olderBefore }: EventList = await trail({ kind: 'verification', before, limit: PAGE })
    told.push(...events.flatMap((event) => toldBy(event, id)))
    before = olderBefore
  }
  return told
}

function toldBy({ data, text }: StoredEvent, id: string): Told[] {
  const { record, seq, hash } = data as Readonly<Record<string, unknown>>
  return record === id && typeof seq === 'number' && typeof hash === 'string' ? [{ seq, hash, text }] : []
}

function parsedPart<T>(body: string, id: string, part: string): T {
  const parsed = parsedOrNull<T>(body)
  if (parsed === null) throw new EvenpullError('EVP_RECORD_DAMAGED', `${part} of record ${id} cannot be read any more`)
  return parsed
}

const noRecord = (id: string) => notThere('verification record', id)

interface RecordEnd {
  /** Of the newest entry; 0 and null while there is none. */
  readonly seq: number
  readonly timeMs: number | null
  readonly digest: string
  readonly signed: boolean
}
const NO_END: RecordEnd = { seq: 0, timeMs: null, digest: '', signed: false }

/**
 * Records that only grow: an entry is a document of its own, on the disk before it is answered, and bears the hash of
 * the one before. One after another, so that two people at once never take the same place.
 */
export class RecordStore {
  readonly documents: Recorder['document']
  /** How records ended when they were looked at last, by id: a record may be megabytes, and is asked for every few seconds. */
  readonly #ends = new Map<string, RecordEnd>()
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

  /** What was added after an entry. Only what is new is read, as long as the end that was known is still there. */
  async since(id: string, after: number): Promise<EntryList> {
    const known = this.#ends.get(id)
    if (known === undefined || known.seq === 0) return this.#sinceInAll(id, after)
    const kept = await this.documents.list(entriesOf(id), entryId(Math.min(after + 1, known.seq)))
    const entries = kept.map(({ id: seq, body }) => parsedPart<RecordEntry>(body, id, `entry ${Number(seq)}`))
    if (!entries.some(({ seq, hash }) => seq === known.seq && hash === known.digest)) return this.#sinceInAll(id, after)
    const newer = entries.filter(({ seq }) => seq > known.seq)
    const { digest, signed } = this.#remember(id, known, newer)
    return { entries: entries.filter(({ seq }) => seq > after), digest, signed }
  }

  /** The newest first. */
  async records(zone: string): Promise<VerificationList> {
    const heads = (await this.documents.list(HEADS)).map(({ id, body }) => parsedPart<RecordHead>(body, id, 'the head'))
    const records: VerificationList['records'] = []
    for (const head of heads.filter((one) => one.zone === zone)) {
      const { id, title, begunBy, begunMs } = head
      await this.since(id, Number.MAX_SAFE_INTEGER)
      const { seq, timeMs, digest, signed } = this.#ends.get(id) ?? NO_END
      records.push({ id, zone, title, begunBy, begunMs, changedMs: timeMs ?? begunMs, entries: seq, signed, digest })
    }
    return { records: records.toSorted((a, b) => b.begunMs - a.begunMs) }
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

  async #sinceInAll(id: string, after: number): Promise<EntryList> {
    const { entries, digest } = await readRecord(this.documents, id)
    const { signed } = this.#remember(id, { ...NO_END, digest }, entries)
    return { entries: entries.filter(({ seq }) => seq > after), digest, signed }
  }

  #remember(id: string, before: RecordEnd, newer: readonly RecordEntry[]): RecordEnd {
    const last = newer.at(-1)
    const signed = before.signed || newer.some(({ kind }) => kind === 'signature')
    const end = last === undefined ? before : { seq: last.seq, timeMs: last.timeMs, digest: last.hash, signed }
    this.#ends.set(id, end)
    return end
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
