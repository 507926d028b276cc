import type { MeasuredMinute } from '../../lib/drift/minute-track.ts'
import { ticksOf } from '../../lib/store-codec/times.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { Sample } from '../../shared/sample.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { EventList, NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { RecorderState, RecorderStatus } from '../../shared/schemas/recorder.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { type Clock, readMonotonic } from '../clock.ts'
import { ChannelInput } from './channel-input.ts'
import { ClockWatch, LEAST_STEP_MS } from './clock-watch.ts'
import { EventQueue, joined } from './event-queue.ts'
import type { RangeFacts } from './range-facts.ts'
import type { SampleBlock, SamplePage } from './read-samples.ts'
import type { Recorder } from './recorder.ts'
import { OFF, OPENING, type StateWords, stoppedBy, warningOf, wordsOf } from './recorder-words.ts'
import { RECOVERED } from './recovered.ts'
import type { KeptKindFacts } from './retention.ts'
import { retentionNowMs } from './retention-clock.ts'
import { scalesOf } from './scales-of-config.ts'
import { type RecorderSettings, settingsOf } from './settings.ts'
import { StoreLink } from './store-link.ts'
import type { EventQuery } from './store-reader.ts'
import type { NamedColumn, OutboxRow, WriterStatus } from './store-writer.ts'

export interface StoreRecorderOptions {
  readonly configPath: string
  /** The wall clock, epoch ms. */
  readonly wallMs: () => number
  readonly log: (line: string) => void
}

/** Samples are on the disk this long after they came. */
const FLUSH_MS = 1000
/** So long, or so many samples, wait in the tail before they become chunks. */
const SEAL_MS = 60_000
const SEAL_SAMPLES = 400_000
/** How often the disk is looked at, and a store that cannot be written is tried. */
const LOOK_MS = 5000
/** So many do not wait for the next second: a recording that is played as fast as it goes. */
const FLUSH_SAMPLES = 20_000
/** Handed over and not yet written: beyond this the disk does not keep up, and samples are lost and counted. */
const MOST_IN_FLIGHT = 2_000_000
/** Minutes that wait while nothing can be written: a day of seven zones. */
const MOST_MINUTES = 10_000
/** When old data is looked for: soon after the start, then so often; a batch at a time. */
const RETAIN_FIRST_MS = 10_000
const RETAIN_MS = 3_600_000
const RETAIN_BATCH_MS = 1000
/** How soon a store that could not be opened is tried again. */
const RETRY_MS = 10_000

type Phase = 'closed' | 'open'

/** The recorder over a store on the disk. See `Recorder`. */
export class StoreRecorder implements Recorder {
  readonly #options: StoreRecorderOptions
  readonly #inputs = new Map<string, ChannelInput>()
  readonly #events = new EventQueue()
  readonly #listeners = new Set<(event: StoredEvent) => void>()
  readonly #clockWatch = new ClockWatch()
  readonly #timers: NodeJS.Timeout[] = []
  #settings: RecorderSettings
  #config: Config
  #revision: string
  #clock: Clock | null = null
  #unled: Clock | null = null
  #link: StoreLink | null = null
  #phase: Phase = 'closed'
  #words: StateWords = OFF
  #sinceMs: number
  #writer: WriterStatus | null = null
  #kept: readonly KeptKindFacts[] = []
  #eventsNow: Promise<void> = Promise.resolve()
  #eventsNext: Promise<void> | null = null
  #minutes: { readonly zone: string; readonly minute: ZoneMinute }[] = []
  #newestMs: number | null = null
  /** When the store was opened, on the clock that is never set. */
  #openedMs = 0
  #buffered = 0
  #inFlight = 0
  /** The newest hand-over; the ones before are through when it is. */
  #flushed: Promise<void> = Promise.resolve()
  #lost = 0
  #unsealed = 0
  #sealedMs = 0
  #retainMs = 0
  #lookedMs = 0
  #isBroken = false
  #retry: NodeJS.Timeout | null = null
  #turn: Promise<unknown> = Promise.resolve()
  #isClosed = false

  private constructor(options: StoreRecorderOptions, config: Config, revision: string) {
    this.#options = options
    this.#config = config
    this.#revision = revision
    this.#settings = settingsOf(config, options.configPath)
    this.#sinceMs = options.wallMs()
  }

  /** Opens the store. A store that cannot be opened stops recording, never the gateway: it is tried again. */
  static async open(
    options: StoreRecorderOptions,
    { config, revision }: { readonly config: Config; readonly revision: string },
  ): Promise<StoreRecorder> {
    const recorder = new StoreRecorder(options, config, revision)
    await recorder.#inTurn(() => recorder.#open())
    return recorder
  }

  /** Newest time in the store when it was opened, epoch ms: the gateway's clock must not begin before it. */
  get newestMs(): number | null {
    return this.#newestMs
  }

  /**
   * Begins to take samples, dated by this clock. A recording that is played faster than it was recorded leads it:
   * `unled` is then the one that is held against the wall clock.
   */
  start(clock: Clock, unled: Clock = clock): void {
    this.#clock = clock
    this.#unled = unled
    this.#sealedMs = readMonotonic()
    this.#retainMs = clock.now() + RETAIN_FIRST_MS
    const wallMs = this.#options.wallMs()
    const aheadMs = epochOf(unled) - wallMs
    this.#clockWatch.look(aheadMs + wallMs, wallMs)
    if (aheadMs >= LEAST_STEP_MS) this.#clockStepped(-Math.round(aheadMs), wallMs)
    this.#every(FLUSH_MS, () => this.#tick())
  }

  // --- what comes in -----------------------------------------------------------

  sample(channelId: string, sample: Sample): void {
    if (this.#clock === null) return
    if (this.#phase !== 'open') {
      if (this.#settings.enabled) this.#lost += 1
      return
    }
    const tick = ticksOf(this.#clock.toEpoch(sample.tMs))
    this.#inputOf(channelId).push(tick, sample)
    this.#buffered += 1
    if (this.#buffered >= FLUSH_SAMPLES) void this.#flush()
  }

  minute(zoneId: string, measured: MeasuredMinute): void {
    if (this.#phase !== 'open') return
    this.#minutes.push({ zone: zoneId, minute: { ...measured, revision: this.#revision } })
    if (this.#minutes.length > MOST_MINUTES) this.#minutes.shift()
  }

  async event(event: NewEvent): Promise<StoredEvent> {
    const stored = this.#events.add(event)
    for (const listener of this.#listeners) listener(stored)
    await this.#writeEvents()
    return stored
  }

  onEvent(listener: (event: StoredEvent) => void): () => void {
    this.#listeners.add(listener)
    return () => this.#listeners.delete(listener)
  }

  configure(config: Config, revision: string): void {
    void this.#flush()
    const before = this.#settings
    this.#config = config
    this.#revision = revision
    this.#settings = settingsOf(config, this.#options.configPath)
    const { enabled, path, minFreeBytes, keep } = this.#settings
    if (before.enabled !== enabled || before.path !== path) return void this.#inTurn(() => this.#reopen())
    void this.#writing(async (link) => {
      await this.#tellRevision(link)
      await link.writer.call('limits', [{ minFreeBytes, keep }])
      this.#look(readMonotonic())
    })
  }

  // --- what is asked -------------------------------------------------------------

  async history(
    zone: string,
    fromMs: number,
    toMs: number,
    points: number,
    signal?: AbortSignal,
  ): Promise<ZoneHistory> {
    await this.#flush()
    signal?.throwIfAborted()
    const history = await this.#opened().reader.call('history', [zone, fromMs, toMs, points])
    signal?.throwIfAborted()
    if (history === undefined) throw noZone(zone)
    return history
  }

  async minutes(zone: string, fromMs: number, toMs: number): Promise<ZoneMinute[]> {
    await this.#writeMinutes()
    return this.#opened().reader.call('minutes', [zone, fromMs, toMs])
  }

  async events(query: EventQuery): Promise<EventList> {
    const waiting = this.#events.list(query)
    if (this.#phase !== 'open') return waiting
    return joined(waiting, await this.#opened().reader.call('events', [query]), query.limit)
  }

  async rangeFacts(zone: string, fromMs: number, toMs: number): Promise<RangeFacts> {
    await this.#flush()
    const facts = await this.#opened().reader.call('rangeFacts', [zone, fromMs, toMs])
    if (facts === undefined) throw noZone(zone)
    return facts
  }

  async *samples(zone: string, fromMs: number, toMs: number, signal?: AbortSignal): AsyncGenerator<SampleBlock> {
    await this.#flush()
    const toTick = ticksOf(toMs)
    for (let from: number | null = ticksOf(fromMs); from !== null; ) {
      signal?.throwIfAborted()
      const page: SamplePage | undefined = await this.#opened().reader.call('samplePage', [zone, from, toTick])
      if (page === undefined) throw noZone(zone)
      if (page.block !== null) yield page.block
      from = page.nextTick
    }
  }

  readonly document = {
    get: async (kind: string, id: string) => this.#opened().reader.call('document', [kind, id]),
    put: async (kind: string, id: string, value: unknown) =>
      this.#opened().writer.call('putDocument', [kind, id, this.#epochMs(), JSON.stringify(value)]),
    list: async (kind: string, fromId?: string) => this.#opened().reader.call('documents', [kind, fromId]),
  }

  readonly outbox = {
    append: async (rows: readonly OutboxRow[]) => this.#opened().writer.call('appendOutbox', [rows]),
    after: async (seq: number, limit: number) => this.#opened().reader.call('outboxAfter', [seq, limit]),
    trim: async (seq: number) => this.#opened().writer.call('trimOutbox', [seq]),
    extent: async () => this.#opened().reader.call('outboxExtent', []),
    newest: async (topicPrefix: string) => this.#opened().reader.call('outboxNewest', [topicPrefix]),
  }

  readonly protection = {
    set: async (name: string, zone: string, fromMs: number, toMs: number) =>
      this.#opened().writer.call('protect', [name, zone, fromMs, toMs]),
    end: async (name: string) => this.#opened().writer.call('unprotect', [name]),
  }

  status(): RecorderStatus {
    const { state, sentence, error } = this.#words
    const { minFreeBytes, path, keep } = this.#settings
    const free = this.#writer?.freeBytes ?? null
    return {
      state,
      sentence,
      error: error?.toJSON() ?? null,
      warning: state === 'running' ? warningOf(free, minFreeBytes) : null,
      sinceMs: this.#sinceMs,
      file: state === 'off' ? null : path,
      bytes: this.#writer?.bytes ?? null,
      freeBytes: free,
      minFreeBytes,
      kept: this.#kept.map((facts) => ({ ...facts, ...keep[facts.kind] })),
      lostSamples: this.#lostSamples,
      waitingEvents: this.#events.waiting.length,
      aheadMs: Math.max(0, this.#clockWatch.aheadMs),
    }
  }

  get #lostSamples(): number {
    return this.#lost + (this.#writer?.lostSamples ?? 0)
  }

  /** Whether there is a store to ask; also while it cannot be written. */
  get canBeAsked(): boolean {
    return this.#phase === 'open'
  }

  /** Whether the store, as it was opened, has anything of the last `ms`. */
  hasSince(ms: number): boolean {
    return this.canBeAsked && this.#newestMs !== null && this.#newestMs > this.#epochMs() - ms
  }

  /** The same in short, for what only has to know whether recording is as it should be. */
  facts(): { readonly state: RecorderState; readonly why: string | null } {
    const { state, sentence, error } = this.#words
    return { state, why: error === null ? null : sentence }
  }

  async close(): Promise<void> {
    if (this.#isClosed) return
    for (const timer of this.#timers.splice(0)) clearInterval(timer)
    if (this.#retry !== null) clearTimeout(this.#retry)
    await this.#flush()
    this.#isClosed = true
    await this.#inTurn(() => this.#shut())
    await this.#link?.terminate()
    this.#link = null
  }

  // --- every second -----------------------------------------------------------------

  #tick(): void {
    this.#watchClock()
    void this.#flush()
    void this.#writeMinutes()
    const now = readMonotonic()
    if (now - this.#lookedMs >= LOOK_MS) this.#look(now)
    const isDue = now - this.#sealedMs >= (this.#words.state === 'stopped' ? LOOK_MS : SEAL_MS)
    if (isDue || this.#unsealed >= SEAL_SAMPLES) this.#seal(now)
    if (this.#clock !== null && this.#clock.now() >= this.#retainMs) this.#retain(this.#clock.now())
  }

  /** By the clock of the samples: a recording that is played at full speed fills a disk between two hours of ours. */
  #retain(now: number): void {
    this.#retainMs = now + RETAIN_MS
    void this.#writing(async (link) => {
      const isMore = await link.writer.call('retain', [this.#retentionNowMs()])
      if (isMore) this.#retainMs = now + RETAIN_BATCH_MS
      else this.#kept = await link.writer.call('kept', [])
    })
  }

  #retentionNowMs(): number {
    const openMs = readMonotonic() - this.#openedMs
    return retentionNowMs({
      gatewayMs: this.#epochMs(),
      wallMs: this.#options.wallMs(),
      newestMs: this.#newestMs,
      openMs,
    })
  }

  /** Asks how the store is, also while nothing comes; what has changed is acted on at once. */
  #look(now: number): void {
    this.#lookedMs = now
    void this.#writing(async (link) => {
      const status = await link.writer.call('samples', [[]])
      this.#tell(status)
      if (wantsSeal(status, this.#settings.minFreeBytes)) this.#seal(now)
    })
  }

  /** Hands over what came; resolves when all that came is on the disk, or when it is known that it is not. */
  #flush(): Promise<void> {
    if (this.#buffered > 0 && this.#phase === 'open') this.#flushed = this.#handOver()
    return this.#flushed
  }

  async #handOver(): Promise<void> {
    const columns = this.#takeColumns()
    const samples = this.#buffered
    this.#buffered = 0
    if (this.#inFlight + samples > MOST_IN_FLIGHT) {
      this.#lost += samples
      return
    }
    this.#inFlight += samples
    this.#unsealed += samples
    const buffers = columns.flatMap(({ ticks, raws, codes }) => [ticks.buffer, raws.buffer, codes.buffer])
    let isTaken = false
    await this.#writing(async (link) => {
      const status = await link.writer.call('samples', [columns], buffers as ArrayBuffer[])
      isTaken = true
      this.#tell(status)
    })
    this.#inFlight -= samples
    if (!isTaken) this.#lost += samples
  }

  #seal(now: number): void {
    this.#sealedMs = now
    this.#unsealed = 0
    void this.#writing(async (link) => {
      this.#tell(await link.writer.call('seal', []))
      await this.#writeEvents()
      await this.#writeMinutes()
    })
  }

  #takeColumns(): NamedColumn[] {
    return [...this.#inputs]
      .filter(([, { buffer }]) => buffer.length > 0)
      .map(([channel, { buffer }]) => ({ channel, ...buffer.take() }))
  }

  #inputOf(channelId: string): ChannelInput {
    let input = this.#inputs.get(channelId)
    if (input === undefined) {
      input = new ChannelInput(ticksOf(this.#newestMs ?? 0))
      this.#inputs.set(channelId, input)
    }
    return input
  }

  #watchClock(): void {
    if (this.#unled === null) return
    const wallMs = this.#options.wallMs()
    const stepMs = this.#clockWatch.look(epochOf(this.#unled), wallMs)
    if (stepMs !== null) this.#clockStepped(stepMs, wallMs)
  }

  #clockStepped(stepMs: number, wallMs: number): void {
    const way = stepMs > 0 ? 'forward' : 'back'
    this.#say({
      kind: 'clock-step',
      text: `The wall clock was put ${way} by ${Math.abs(stepMs) / 1000} s; times here go on evenly.`,
      data: { stepMs, wallMs },
    })
  }

  // --- events -------------------------------------------------------------------------

  /** An event of the recorder's own. */
  #say(event: Pick<NewEvent, 'kind' | 'text' | 'data'>): void {
    void this.event({ timeMs: this.#epochMs(), zone: null, who: null, ...event })
  }

  /**
   * Resolves when all that wait now are on the disk, or cannot be written. One write at a time, and one that follows it
   * for all who come meanwhile: where the disk is slow, each would hand over all that wait once more.
   */
  #writeEvents(): Promise<void> {
    this.#eventsNext ??= this.#eventsNow.then(() => {
      this.#eventsNow = this.#eventsNext ?? Promise.resolve()
      this.#eventsNext = null
      return this.#writeWaitingEvents()
    })
    return this.#eventsNext
  }

  async #writeWaitingEvents(): Promise<void> {
    const events = [...this.#events.waiting]
    if (events.length === 0 || this.#phase !== 'open' || this.#link === null) return
    try {
      await this.#link.writer.call('events', [events])
      this.#events.written(events)
    } catch {
      // They wait in memory; the next seal tries again.
    }
  }

  async #writeMinutes(): Promise<void> {
    const minutes = this.#minutes
    if (minutes.length === 0 || this.#phase !== 'open' || this.#link === null) return
    this.#minutes = []
    try {
      await this.#link.writer.call('minutes', [minutes])
    } catch {
      // They wait in memory; the next seal tries again.
      this.#minutes = [...minutes, ...this.#minutes]
    }
  }

  // --- the store ------------------------------------------------------------------------

  /** Runs `act` when a store is open; a failure is said in the status, not thrown. */
  async #writing(act: (link: StoreLink) => Promise<unknown>): Promise<void> {
    if (this.#link === null || this.#phase !== 'open') return
    try {
      await act(this.#link)
    } catch (error) {
      this.#options.log(`recorder: ${messageOf(error)}`)
    }
  }

  #tellRevision(link: StoreLink): Promise<void> {
    return link.writer.call('configure', [this.#revision, this.#epochMs(), scalesOf(this.#config)])
  }

  async #open(): Promise<void> {
    if (this.#isClosed) return
    if (!this.#settings.enabled) return this.#become(OFF)
    this.#become(OPENING)
    const { path, minFreeBytes, keep } = this.#settings
    try {
      this.#link ??= new StoreLink((error) => this.#ended(error))
      const found = await this.#link.writer.call('open', [
        { path, minFreeBytes, keep, nowMs: this.#options.wallMs(), isBroken: this.#isBroken },
      ])
      this.#isBroken = false
      this.#link.readFrom(path)
      this.#newestMs = found.newestMs
      this.#openedMs = readMonotonic()
      this.#inputs.clear()
      await this.#tellRevision(this.#link)
      this.#events.continueAfter(found.lastEventId)
      this.#phase = 'open'
      this.#tell(await this.#link.writer.call('samples', [[]]))
      if (found.setAside !== null) this.#saySetAside(found.setAside)
      await this.#writeEvents()
    } catch (error) {
      this.#cannotOpen(error)
    }
  }

  #saySetAside(setAside: string): void {
    const { path } = this.#settings
    const error = new EvenpullError('EVP_STORE_BROKEN', `${path} could not be read and was set aside as ${setAside}`)
    this.#options.log(`recorder: ${error.message}`)
    this.#say({
      kind: 'recording',
      text: `The store could not be read. It was set aside as ${setAside}, and a new one was begun.`,
      data: { code: error.code, setAside },
    })
  }

  #cannotOpen(error: unknown): void {
    const known =
      error instanceof EvenpullError ? error : new EvenpullError('EVP_STORE_WRITE', messageOf(error), { cause: error })
    this.#become(stoppedBy(known))
    this.#tryAgainLater()
  }

  #tryAgainLater(): void {
    if (this.#isClosed || this.#retry !== null) return
    this.#retry = setTimeout(() => {
      this.#retry = null
      void this.#inTurn(() => this.#open())
    }, RETRY_MS)
    this.#retry.unref()
  }

  async #reopen(): Promise<void> {
    await this.#shut()
    await this.#open()
  }

  async #shut(): Promise<void> {
    const link = this.#link
    if (link === null || this.#phase !== 'open') return
    await this.#writeEvents()
    await this.#writeMinutes()
    this.#phase = 'closed'
    await link.closeReader()
    await link.writer.call('close', []).catch(() => {})
    this.#forgetWriter()
    this.#kept = []
  }

  /** A thread died: a fault of ours or of SQLite. Live viewing goes on, and so does recording in a while. */
  #ended(error: Error): void {
    if (this.#isClosed) return
    this.#phase = 'closed'
    const link = this.#link
    this.#link = null
    void link?.terminate()
    this.#forgetWriter()

    this.#cannotOpen(new EvenpullError('EVP_INTERNAL', `the recorder's thread ended: ${error.message}`))
  }

  /** Its count begins anew with the next one; what was lost stays lost. */
  #forgetWriter(): void {
    this.#lost += this.#writer?.lostSamples ?? 0
    this.#writer = null
  }

  #tell(status: WriterStatus): void {
    this.#writer = status
    if (status.fault?.kind === 'broken' && !this.#isBroken) {
      this.#isBroken = true
      void this.#inTurn(() => this.#reopen())
    }
    this.#become(wordsOf(status, this.#settings.minFreeBytes, this.#lostSamples > 0))
  }

  #become(words: StateWords): void {
    const before = this.#words
    this.#words = words
    if (before.sentence === words.sentence) return
    this.#sinceMs = this.#epochMs()
    if (words === OPENING) return
    this.#options.log(`recorder: ${words.sentence}`)
    const { state, error } = words
    this.#say({
      kind: 'recording',
      text: words.sentence,
      data: { state, ...(error === null ? {} : { code: error.code }) },
    })
  }

  #opened(): StoreLink {
    if (this.#phase === 'open' && this.#link !== null) return this.#link
    const { state, sentence } = this.#words
    throw new EvenpullError(state === 'off' ? 'EVP_RECORDER_OFF' : 'EVP_RECORDER_STOPPED', sentence)
  }

  #epochMs(): number {
    return this.#clock === null ? this.#options.wallMs() : epochOf(this.#clock)
  }

  #every(ms: number, act: () => void): void {
    this.#timers.push(setInterval(act, ms))
  }

  /** Opening and closing, one after another. */
  #inTurn<T>(act: () => Promise<T>): Promise<T> {
    const result = this.#turn.then(act, act)
    this.#turn = result.catch(() => {})
    return result
  }
}

const epochOf = (clock: Clock): number => clock.toEpoch(clock.now())

/** The disk has run short of space, or has it again: the next minute is not waited for. */
function wantsSeal({ state, freeBytes }: WriterStatus, minFreeBytes: number): boolean {
  if (freeBytes === null) return false
  return state === 'running' ? freeBytes < minFreeBytes : freeBytes >= RECOVERED * minFreeBytes
}

const noZone = (zone: string) => new EvenpullError('EVP_NOT_FOUND', `no zone ${JSON.stringify(zone.slice(0, 80))}`)
const messageOf = (error: unknown) => (error instanceof Error ? error.message : String(error))
