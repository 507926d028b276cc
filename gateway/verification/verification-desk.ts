import { type VerificationContext, verificationContext } from '../../lib/verification/context.ts'
import { judgeTest, shiftCaptureOf } from '../../lib/verification/judge-test.ts'
import { planOf } from '../../lib/verification/plan.ts'
import { TESTS } from '../../lib/verification/registry.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { NewEvent } from '../../shared/schemas/events.ts'
import type { ShiftAnalysis, ShiftQuery } from '../../shared/schemas/shift.ts'
import type {
  Capture,
  CaptureAsk,
  EntryList,
  NewEntry,
  NewVerification,
  PreviewAsk,
  PreviewResult,
  RecordCheck,
  RecordEntry,
  VerificationList,
  VerificationPlan,
  VerificationRecord,
} from '../../shared/schemas/verification.ts'
import type { LoadedConfig } from '../config/load.ts'
import type { Recorder } from '../recorder/recorder.ts'
import { photoType } from './photo-type.ts'
import { readCapture } from './read-capture.ts'
import { checkRecord, listRecords, RecordStore, readPhoto, readRecord, type UnchainedEntry } from './record-store.ts'

export interface VerificationDeskOptions {
  readonly recorder: Pick<Recorder, 'document' | 'samples' | 'protection' | 'status' | 'event'>
  readonly loaded: () => LoadedConfig
  readonly shift: (zone: string, query: ShiftQuery) => Promise<ShiftAnalysis | undefined>
  readonly version: string
  readonly nowMs: () => number
  readonly monotonicMs: () => number
}

const MOST_PHOTO_BYTES = 3_000_000
/** After the signature. */
const ALWAYS_ADDED: ReadonlySet<NewEntry['kind']> = new Set(['note', 'correction'])

/**
 * What people do to verification records. Everything that is added is on the disk before it is answered, and sent again
 * with the same key it is the same entry. Rejects with EVP_NOT_FOUND, EVP_RECORDER_OFF, EVP_RECORDER_STOPPED,
 * EVP_RECORD_SIGNED, EVP_CAPTURE and EVP_REQUEST_INVALID; nothing was kept then.
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
    return listRecords(this.#store.documents, zone)
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
      config: configOf(context),
    })
    if (known === undefined) await this.#tell(zone, who, `Verification “${title}” was begun.`, { record: key })
    return record
  }

  async record(id: string): Promise<VerificationRecord> {
    this.#refuseUnkept()
    return readRecord(this.#store.documents, id)
  }

  async entries(id: string, after: number): Promise<EntryList> {
    const { entries, digest, signed } = await this.record(id)
    return { entries: entries.filter(({ seq }) => seq > after), digest, signed }
  }

  async check(id: string): Promise<RecordCheck> {
    this.#refuseUnkept()
    return checkRecord(this.#store.documents, id)
  }

  /** The photos of a record by hash, those that are there. */
  async photos(record: VerificationRecord): Promise<ReadonlyMap<string, Buffer>> {
    const found = new Map<string, Buffer>()
    for (const entry of record.entries) {
      const photo = entry.kind === 'photo' ? await readPhoto(this.#store.documents, entry.sha256) : undefined
      if (entry.kind === 'photo' && photo !== undefined) found.set(entry.sha256, photo)
    }
    return found
  }

  async photo(id: string, hash: string): Promise<{ readonly bytes: Buffer; readonly mediaType: string }> {
    const { entries } = await this.record(id)
    const entry = entries.find((one) => one.kind === 'photo' && one.sha256 === hash)
    const bytes = entry?.kind === 'photo' ? await readPhoto(this.#store.documents, hash) : undefined
    if (entry?.kind !== 'photo' || bytes === undefined)
      throw new EvenpullError('EVP_NOT_FOUND', 'this record has no such photo')
    return { bytes, mediaType: entry.mediaType }
  }

  /** What a result would say, without keeping it. */
  async preview(id: string, ask: PreviewAsk): Promise<PreviewResult> {
    const record = await this.record(id)
    const context = this.#context(record.head.zone)
    const { captures, shift } = await this.#evidence(context, ask)
    const result = judgeTest(context, ask.test, { ...ask, captures, earlier: record.entries, shift })
    return { result, captures: [...captures] }
  }

  async add(id: string, entry: NewEntry): Promise<RecordEntry> {
    this.#refuseUnkept()
    const record = await readRecord(this.#store.documents, id)
    const known = record.entries.find(({ key }) => key === entry.key)
    if (known !== undefined) return known
    refuseSigned(record, entry)
    const context = this.#context(record.head.zone)
    const evidence = entry.kind === 'result' ? await this.#evidence(context, entry) : null
    const photo = entry.kind === 'photo' ? await this.#photo(entry) : null
    let isNew = false
    const kept = await this.#store.append(id, async (now) => {
      const sent = now.entries.find(({ key }) => key === entry.key)
      if (sent !== undefined) return sent
      refuseSigned(now, entry)
      isNew = true
      return this.#made(context, now, entry, evidence, photo)
    })
    if (isNew) await this.#tell(record.head.zone, entry.who, wordsOf(kept, record), { record: id, seq: kept.seq })
    return kept
  }

  // --- parts -------------------------------------------------------------------

  #made(
    context: VerificationContext,
    now: VerificationRecord,
    entry: NewEntry,
    evidence: { readonly captures: readonly Capture[]; readonly shift: ShiftAnalysis | null } | null,
    photo: { readonly sha256: string; readonly bytes: number } | null,
  ): Promise<UnchainedEntry> {
    const { key, who } = entry
    const base = { key, who, timeMs: this.#options.nowMs() }
    const make = (): UnchainedEntry => {
      switch (entry.kind) {
        case 'result': {
          const { test, phase, values } = entry
          const captures = evidence?.captures ?? []
          const earlier = now.entries
          const attempts = earlier.filter((one) => one.kind === 'result' && one.test === test)
          const result = judgeTest(context, test, { phase, values, captures, earlier, shift: evidence?.shift ?? null })
          const { revision } = context
          const software = this.#options.version
          const { title } = TESTS[test]
          return {
            ...base,
            kind: 'result',
            test,
            title,
            phase,
            attempt: attempts.length + 1,
            values,
            captures: [...captures],
            result,
            revision,
            software,
          }
        }
        case 'not-done':
          return { ...base, kind: 'not-done', test: entry.test, title: TESTS[entry.test].title, reason: entry.reason }
        case 'note':
          return { ...base, kind: 'note', test: entry.test, text: entry.text }
        case 'photo':
          return {
            ...base,
            kind: 'photo',
            test: entry.test,
            caption: entry.caption,
            mediaType: entry.mediaType,
            bytes: photo?.bytes ?? 0,
            sha256: photo?.sha256 ?? '',
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
    return Promise.resolve().then(make)
  }

  /** Captures read from the store, and protected there; what moved where the test asks for it. */
  async #evidence(
    context: VerificationContext,
    ask: Pick<PreviewAsk, 'test'> & { captures: CaptureAsk[]; key?: string },
  ) {
    const { recorder, nowMs, monotonicMs, shift } = this.#options
    const reader = { recorder, nowMs, monotonicMs }
    const captures: Capture[] = []
    for (const one of ask.captures) {
      captures.push(await readCapture(reader, context, one))
      if (ask.key !== undefined)
        await recorder.protection.set(`verification ${ask.key} ${one.key}`, context.zone.id, one.fromMs, one.toMs)
    }
    const wanted = shiftCaptureOf(ask.test)
    const stretch = wanted === undefined ? undefined : ask.captures.filter(({ capture }) => capture === wanted).at(-1)
    const analysed =
      stretch === undefined ? undefined : await shift(context.zone.id, { from: stretch.fromMs, to: stretch.toMs })
    return { captures, shift: analysed ?? null }
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
    if (!config.zones.some(({ id }) => id === zone))
      throw new EvenpullError('EVP_NOT_FOUND', `no zone ${JSON.stringify(zone.slice(0, 80))}`)
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

/** The zone with its channels and devices as the config has them; without what other parts of it hold. */
function configOf({ zone, channels, config }: VerificationContext): unknown {
  const ids = [
    ...Object.values(zone.cells),
    zone.speed,
    zone.roller_speed,
    zone.reference,
    zone.temperature,
    zone.neighbour,
  ]
  const used = [...new Set(ids)].flatMap((id) => channels.get(id ?? '') ?? [])
  const devices = config.devices.filter(({ id }) => used.some(({ device }) => device === id))
  return JSON.parse(JSON.stringify({ zone, channels: used, devices }))
}

function wordsOf(entry: RecordEntry, { head }: VerificationRecord): string {
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
