import { type VerificationContext, verificationContext } from '../../lib/verification/context.ts'
import { judgeTest, shiftCaptureOf } from '../../lib/verification/judge-test.ts'
import { planOf } from '../../lib/verification/plan.ts'
import { recordConfig } from '../../lib/verification/record-config.ts'
import { TESTS } from '../../lib/verification/registry.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { NewEvent } from '../../shared/schemas/events.ts'
import type { ShiftAnalysis, ShiftQuery } from '../../shared/schemas/shift.ts'
import type { Capture, CaptureAsk } from '../../shared/schemas/verification/capture.ts'
import type { VerificationPlan } from '../../shared/schemas/verification/plan.ts'
import type {
  EntryList,
  NewEntry,
  NewVerification,
  PreviewAsk,
  PreviewResult,
  RecordCheck,
  RecordEntry,
  RecordHead,
  VerificationList,
  VerificationRecord,
} from '../../shared/schemas/verification.ts'
import type { LoadedConfig } from '../config/load.ts'
import { notThere } from '../not-there.ts'
import type { Recorder } from '../recorder/recorder.ts'
import { photoType } from './photo-type.ts'
import { readCapture } from './read-capture.ts'
import { checkRecord, isPhoto, RecordStore, readPhoto, readRecord, type UnchainedEntry } from './record-store.ts'
import { refuseOtherEntry, refuseOtherRecord } from './same-content.ts'

export interface VerificationDeskOptions {
  readonly recorder: Pick<Recorder, 'document' | 'samples' | 'protection' | 'status' | 'event' | 'events'>
  readonly loaded: () => LoadedConfig
  readonly shift: (zone: string, query: ShiftQuery) => Promise<ShiftAnalysis | undefined>
  readonly version: string
  readonly nowMs: () => number
  readonly monotonicMs: () => number
  /** Resolves after so many ms. */
  readonly wait: (ms: number) => Promise<unknown>
}

/** What a result is made of beside what was typed. */
interface Evidence {
  readonly context: VerificationContext
  readonly captures: readonly Capture[]
  readonly shift: ShiftAnalysis | null
}

const MOST_PHOTO_BYTES = 3_000_000
/** After the signature. */
const ALWAYS_ADDED: ReadonlySet<NewEntry['kind']> = new Set(['note', 'correction'])

/**
 * What people do to verification records. Everything that is added is on the disk before it is answered, and sent again
 * with the same key it is the same entry. Rejects with EVP_NOT_FOUND, EVP_RECORDER_OFF, EVP_RECORDER_STOPPED,
 * EVP_RECORD_SIGNED, EVP_CAPTURE, EVP_REQUEST_INVALID, and EVP_KEY_REUSED where the key is that of something else;
 * nothing was kept then.
 */
export class VerificationDesk {
  readonly #options: VerificationDeskOptions
  readonly #store: RecordStore

  constructor(options: VerificationDeskOptions) {
    this.#options = options
    this.#store = new RecordStore(options.recorder.document)
  }

  plan(zone: string): VerificationPlan {
    return planOf(this.#context(zone))
  }

  async list(zone: string): Promise<VerificationList> {
    this.#context(zone)
    this.#refuseUnkept()
    return this.#store.records(zone)
  }

  async begin(zone: string, { key, who, title }: NewVerification): Promise<VerificationRecord> {
    this.#refuseUnkept()
    const context = this.#context(zone)
    const { nowMs, version } = this.#options
    const { config } = context
    const known = await this.#store.documents.get('verification', key)
    const record = await this.#store.begin({
      format: 'evenpull-verification/1',
      id: key,
      zone,
      zoneName: context.zone.name ?? zone,
      plant: config.plant ?? null,
      line: config.line ?? null,
      title,
      begunBy: who,
      begunMs: nowMs(),
      revision: context.revision,
      software: version,
      plan: planOf(context),
      config: recordConfig(context),
    })
    const { digest: hash } = record
    refuseOtherRecord(record.head, zone, { key, who, title })
    if (known === undefined)
      await this.#tell(zone, who, `Verification “${title}” was begun.`, { record: key, seq: 0, hash })
    return record
  }

  async record(id: string): Promise<VerificationRecord> {
    this.#refuseUnkept()
    return readRecord(this.#store.documents, id)
  }

  async entries(id: string, after: number): Promise<EntryList> {
    this.#refuseUnkept()
    return this.#store.since(id, after)
  }

  async check(id: string): Promise<RecordCheck> {
    this.#refuseUnkept()
    return checkRecord(this.#store.documents, (query) => this.#options.recorder.events(query), id)
  }

  /** The photos of a record by hash, those that are there as they were taken. */
  async photos(record: VerificationRecord): Promise<ReadonlyMap<string, Buffer>> {
    const found = new Map<string, Buffer>()
    for (const entry of record.entries) {
      const photo = entry.kind === 'photo' ? await readPhoto(this.#store.documents, entry.sha256) : undefined
      if (entry.kind === 'photo' && photo !== undefined && isPhoto(photo, entry.sha256)) found.set(entry.sha256, photo)
    }
    return found
  }

  async photo(id: string, hash: string): Promise<{ readonly bytes: Buffer; readonly mediaType: string }> {
    const { entries } = await this.record(id)
    const entry = entries.find((one) => one.kind === 'photo' && one.sha256 === hash)
    const bytes = entry?.kind === 'photo' ? await readPhoto(this.#store.documents, hash) : undefined
    if (entry?.kind !== 'photo' || bytes === undefined)
      throw new EvenpullError('EVP_NOT_FOUND', 'this record has no such photo')
    if (!isPhoto(bytes, hash))
      throw new EvenpullError('EVP_RECORD_DAMAGED', `the photo of entry ${entry.seq} was changed after it was written`)
    return { bytes, mediaType: entry.mediaType }
  }

  /** What a result would say, without keeping it. */
  async preview(id: string, ask: PreviewAsk): Promise<PreviewResult> {
    const record = await this.record(id)
    const evidence = await this.#evidence(record, ask)
    const { context, captures } = evidence
    const result = judgeTest(context, ask.test, { ...ask, ...evidence, earlier: record.entries })
    return { result, captures: [...captures] }
  }

  async add(id: string, entry: NewEntry): Promise<RecordEntry> {
    this.#refuseUnkept()
    const record = await readRecord(this.#store.documents, id)
    const known = record.entries.find(({ key }) => key === entry.key)
    if (known !== undefined) {
      refuseOtherEntry(known, entry)
      return known
    }
    refuseSigned(record, entry)
    if (entry.kind !== 'result') return this.#append(record, entry, null)
    const evidence = await this.#evidence(record, entry)
    return this.#protected(record, entry, () => this.#append(record, entry, evidence))
  }

  // --- parts -------------------------------------------------------------------

  async #append({ head }: VerificationRecord, entry: NewEntry, evidence: Evidence | null): Promise<RecordEntry> {
    const photo = entry.kind === 'photo' ? await this.#photo(entry) : null
    let isNew = false
    const kept = await this.#store.append(head.id, async (now) => {
      const sent = now.entries.find(({ key }) => key === entry.key)
      if (sent !== undefined) {
        refuseOtherEntry(sent, entry)
        return sent
      }
      refuseSigned(now, entry)
      const made = this.#made(now, entry, evidence, photo)
      isNew = true
      return made
    })
    const { seq, hash } = kept
    if (isNew) await this.#tell(head.zone, entry.who, wordsOf(kept, head), { record: head.id, seq, hash })
    return kept
  }

  /** Its captures outlive every limit from before the result is kept; when it is not kept, they need not. */
  async #protected(
    { head }: VerificationRecord,
    { key, captures }: Extract<NewEntry, { kind: 'result' }>,
    keep: () => Promise<RecordEntry>,
  ): Promise<RecordEntry> {
    const { protection } = this.#options.recorder
    const nameOf = (capture: CaptureAsk) => `verification ${key} ${capture.key}`
    try {
      for (const one of captures) await protection.set(nameOf(one), head.zone, one.fromMs, one.toMs)
      return await keep()
    } catch (error) {
      const { entries } = await readRecord(this.#store.documents, head.id)
      // A store that cannot be written keeps them for nothing: that costs space and no evidence.
      if (!entries.some((entry) => entry.key === key))
        for (const one of captures) await protection.end(nameOf(one)).catch(() => undefined)
      throw error
    }
  }

  #made(
    now: VerificationRecord,
    entry: NewEntry,
    evidence: Evidence | null,
    photo: { readonly sha256: string; readonly bytes: number } | null,
  ): UnchainedEntry {
    const { key, who } = entry
    const base = { key, who, timeMs: this.#options.nowMs() }
    switch (entry.kind) {
      case 'result':
        return { ...base, ...this.#result(now, entry, evidence ?? neverWithout('evidence')) }
      case 'not-done':
        return { ...base, kind: 'not-done', test: entry.test, title: TESTS[entry.test].title, reason: entry.reason }
      case 'note':
        return { ...base, kind: 'note', test: entry.test, text: entry.text }
      case 'photo': {
        const { kind, test, caption, mediaType } = entry
        return { ...base, kind, test, caption, mediaType, ...(photo ?? neverWithout('a photo')) }
      }
      case 'signature':
        return { ...base, kind: 'signature', name: entry.name }
      case 'correction': {
        if (!now.entries.some(({ seq }) => seq === entry.of))
          throw new EvenpullError('EVP_REQUEST_INVALID', `of: the record has no entry ${entry.of}`)
        return { ...base, kind: 'correction', of: entry.of, text: entry.text }
      }
    }
  }

  #result(
    { entries: earlier }: VerificationRecord,
    { test, phase, values }: Extract<NewEntry, { kind: 'result' }>,
    { context, captures, shift }: Evidence,
  ) {
    const attempts = earlier.filter((one) => one.kind === 'result' && one.test === test)
    return {
      kind: 'result' as const,
      test,
      title: TESTS[test].title,
      phase,
      attempt: attempts.length + 1,
      values,
      captures: [...captures],
      result: judgeTest(context, test, { phase, values, captures, earlier, shift }),
      revision: context.revision,
      software: this.#options.version,
    }
  }

  /** Captures read from the store, and what moved where the test asks for it; all by one revision of the config. */
  async #evidence({ head }: VerificationRecord, ask: Pick<PreviewAsk, 'test' | 'captures'>): Promise<Evidence> {
    const context = this.#context(head.zone)
    const captures: Capture[] = []
    for (const one of ask.captures) captures.push(await readCapture(this.#options, context, one))
    const wanted = shiftCaptureOf(ask.test)
    const stretch = wanted === undefined ? undefined : ask.captures.filter(({ capture }) => capture === wanted).at(-1)
    if (stretch === undefined) return { context, captures, shift: null }
    const { fromMs: from, toMs: to } = stretch
    return { context, captures, shift: (await this.#options.shift(head.zone, { from, to })) ?? null }
  }

  async #photo({ data, mediaType }: Extract<NewEntry, { kind: 'photo' }>) {
    const bytes = Buffer.from(data, 'base64')
    if (bytes.length > MOST_PHOTO_BYTES)
      throw new EvenpullError(
        'EVP_TOO_LARGE',
        `a photo of ${bytes.length} bytes; at most ${MOST_PHOTO_BYTES} are taken`,
      )
    if (photoType(bytes) !== mediaType)
      throw new EvenpullError('EVP_REQUEST_INVALID', `data: this is no ${mediaType} picture`)
    return { sha256: await this.#store.keepPhoto(bytes), bytes: bytes.length }
  }

  #context(zone: string): VerificationContext {
    const { config, revision } = this.#options.loaded()
    if (!config.zones.some(({ id }) => id === zone)) throw notThere('zone', zone)
    return verificationContext(config, zone, revision)
  }

  /** What only memory would hold is refused: whoever sent it still has it. */
  #refuseUnkept(): void {
    const { state, sentence } = this.#options.recorder.status()
    if (state === 'off') throw new EvenpullError('EVP_RECORDER_OFF', sentence)
    if (state === 'stopped') throw new EvenpullError('EVP_RECORDER_STOPPED', sentence)
  }

  async #tell(zone: string, who: string, text: string, data: Record<string, unknown>): Promise<void> {
    const event: NewEvent = { kind: 'verification', zone, who, timeMs: this.#options.nowMs(), text, data }
    await this.#options.recorder.event(event)
  }
}

function refuseSigned({ signed, head }: VerificationRecord, { kind }: NewEntry): void {
  if (signed && !ALWAYS_ADDED.has(kind))
    throw new EvenpullError(
      'EVP_RECORD_SIGNED',
      `record “${head.title}” is signed: nothing but notes and corrections is added to it`,
    )
}

function neverWithout(what: string): never {
  throw new EvenpullError('EVP_INTERNAL', `an entry without ${what}`)
}

function wordsOf(entry: RecordEntry, head: RecordHead): string {
  const of = `verification “${head.title}”`
  switch (entry.kind) {
    case 'result':
      return `${entry.title}, ${entry.phase === 'as-found' ? 'as found' : 'as left'}: ${entry.result.state} (${of}).`
    case 'not-done':
      return `${entry.title}: not done, ${entry.reason} (${of}).`
    case 'note':
      return `A note was added to ${of}.`
    case 'photo':
      return `A photo was added to ${of}.`
    case 'signature':
      return `${of.charAt(0).toUpperCase()}${of.slice(1)} was signed by ${entry.name}.`
    case 'correction':
      return `Entry ${entry.of} of ${of} was corrected.`
  }
}
