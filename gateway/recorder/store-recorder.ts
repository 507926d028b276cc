import type { MeasuredMinute } from '../../lib/drift/minute-track.ts'
import { EvenpullError } from '../../shared/errors.ts'
import type { Sample } from '../../shared/sample.ts'
import type { Config } from '../../shared/schemas/config.ts'
import type { EventList, NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import type { RecorderState, RecorderStatus } from '../../shared/schemas/recorder.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { type Clock, readMonotonic } from '../clock.ts'
import { ClockReport } from './clock-report.ts'
import { EventDesk } from './event-desk.ts'
import { MinuteQueue } from './minute-queue.ts'
import type { Recorder } from './recorder.ts'
import { OFF, OPENING, stoppedBy, warningOf, wordsOf } from './recorder-words.ts'
import { RecordingState } from './recording-state.ts'
import { retentionNowMs } from './retention-clock.ts'
import { RetentionRound } from './retention-round.ts'
import { SampleIntake } from './sample-intake.ts'
import { scalesOf } from './scales-of-config.ts'
import { type RecorderSettings, settingsOf } from './settings.ts'
import { StoreHandle } from './store-handle.ts'
import type { StoreLink } from './store-link.ts'
import { StoreQuestions } from './store-questions.ts'
import type { EventQuery } from './store-reader.ts'
import { storeShelves } from './store-shelves.ts'
import { wantsSeal } from './wants-seal.ts'
import type { WriterStatus } from './writer-facts.ts'

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
const SEAL_SAMPLES = 100_000
/** How often the disk is looked at, and a store that cannot be written is tried. */
const LOOK_MS = 5000
/** How soon a store that could not be opened is tried again. */
const RETRY_MS = 10_000

/** The recorder over a store on the disk: opens and closes it, and says how recording is. See `Recorder`. */
export class StoreRecorder implements Recorder {
  readonly #options: StoreRecorderOptions
  readonly #store: StoreHandle
  readonly #intake: SampleIntake
  readonly #events: EventDesk
  readonly #minutes: MinuteQueue
  readonly #questions: StoreQuestions
  readonly #retention: RetentionRound
  readonly #clockReport: ClockReport
  readonly #timers: NodeJS.Timeout[] = []
  #settings: RecorderSettings
  #config: Config
  #revision: string
  #clock: Clock | null = null
  readonly #state: RecordingState
  #writer: WriterStatus | null = null
  #newestMs: number | null = null
  /** When the store was opened, on the clock that is never set. */
  #openedMs = 0
  #sealedMs = 0
  #lookedMs = 0
  #isBroken = false
  #retry: NodeJS.Timeout | null = null
  #turn: Promise<unknown> = Promise.resolve()
  #isClosed = false
  readonly document: Recorder['document']
  readonly outbox: Recorder['outbox']
  readonly protection: Recorder['protection']

  private constructor(options: StoreRecorderOptions, config: Config, revision: string) {
    this.#options = options
    this.#config = config
    this.#revision = revision
    this.#settings = settingsOf(config, options.configPath)
    this.#state = new RecordingState({
      nowMs: () => this.#epochMs(),
      log: options.log,
      say: (event) => this.#say(event),
    })
    this.#store = new StoreHandle({ words: () => this.#state.words, log: options.log })
    this.#intake = new SampleIntake(this.#store, (status) => this.#tell(status))
    this.#events = new EventDesk(this.#store)
    this.#minutes = new MinuteQueue(this.#store)
    this.#questions = new StoreQuestions(this.#store, () => this.#intake.flush())
    this.#clockReport = new ClockReport({ wallMs: options.wallMs, say: (event) => this.#say(event) })
    this.#retention = new RetentionRound(this.#store, () => this.#retentionNowMs())
    const { document, outbox, protection } = storeShelves(this.#store, () => this.#epochMs())
    this.document = document
    this.outbox = outbox
    this.protection = protection
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
    this.#sealedMs = readMonotonic()
    this.#retention.begin(clock.now())
    this.#clockReport.begin(unled)
    this.#every(FLUSH_MS, () => this.#tick())
  }

  // --- what comes in -----------------------------------------------------------

  sample(channelId: string, sample: Sample): void {
    if (this.#clock === null) return
    if (this.#store.isOpen) this.#intake.take(channelId, this.#clock.toEpoch(sample.tMs), sample)
    else if (this.#settings.enabled) this.#intake.lose(1)
  }

  minute(zoneId: string, measured: MeasuredMinute): void {
    if (this.#store.isOpen) this.#minutes.add({ zone: zoneId, minute: { ...measured, revision: this.#revision } })
  }

  event(event: NewEvent): Promise<StoredEvent> {
    return this.#events.add(event)
  }

  onEvent(listener: (event: StoredEvent) => void): () => void {
    return this.#events.onEvent(listener)
  }

  configure(config: Config, revision: string): void {
    void this.#intake.flush()
    const before = this.#settings
    this.#config = config
    this.#revision = revision
    this.#settings = settingsOf(config, this.#options.configPath)
    const { enabled, path, minFreeBytes, keep } = this.#settings
    if (before.enabled !== enabled || before.path !== path) return void this.#inTurn(() => this.#reopen())
    void this.#store.writing(async (link) => {
      await this.#tellRevision(link)
      await link.writer.call('limits', [{ minFreeBytes, keep }])
      this.#look(readMonotonic())
    })
  }

  // --- what is asked -------------------------------------------------------------

  history(...question: Parameters<Recorder['history']>): ReturnType<Recorder['history']> {
    return this.#questions.history(...question)
  }

  rangeFacts(...question: Parameters<Recorder['rangeFacts']>): ReturnType<Recorder['rangeFacts']> {
    return this.#questions.rangeFacts(...question)
  }

  samples(...question: Parameters<Recorder['samples']>): ReturnType<Recorder['samples']> {
    return this.#questions.samples(...question)
  }

  async minutes(zone: string, fromMs: number, toMs: number): Promise<ZoneMinute[]> {
    await this.#minutes.write()
    return this.#store.opened().reader.call('minutes', [zone, fromMs, toMs])
  }

  events(query: EventQuery): Promise<EventList> {
    return this.#events.list(query)
  }

  status(): RecorderStatus {
    const { state, sentence, error } = this.#state.words
    const { minFreeBytes, path, keep } = this.#settings
    const free = this.#writer?.freeBytes ?? null
    return {
      state,
      sentence,
      error: error?.toJSON() ?? null,
      warning: state === 'running' ? warningOf(free, minFreeBytes) : null,
      sinceMs: this.#state.sinceMs,
      file: state === 'off' ? null : path,
      bytes: this.#writer?.bytes ?? null,
      freeBytes: free,
      minFreeBytes,
      kept: this.#retention.kept.map((facts) => ({ ...facts, ...keep[facts.kind] })),
      lostSamples: this.#lostSamples,
      waitingEvents: this.#events.waiting,
      aheadMs: this.#clockReport.aheadMs,
    }
  }

  get #lostSamples(): number {
    return this.#intake.lost + (this.#writer?.lostSamples ?? 0)
  }

  /** Whether there is a store to ask; also while it cannot be written. */
  get canBeAsked(): boolean {
    return this.#store.isOpen
  }

  /** Whether the store, as it was opened, has anything of the last `ms`. */
  hasSince(ms: number): boolean {
    return this.canBeAsked && this.#newestMs !== null && this.#newestMs > this.#epochMs() - ms
  }

  /** The same in short, for what only has to know whether recording is as it should be. */
  facts(): { readonly state: RecorderState; readonly why: string | null } {
    const { state, sentence, error } = this.#state.words
    return { state, why: error === null ? null : sentence }
  }

  async close(): Promise<void> {
    if (this.#isClosed) return
    for (const timer of this.#timers.splice(0)) clearInterval(timer)
    if (this.#retry !== null) clearTimeout(this.#retry)
    await this.#intake.flush()
    this.#isClosed = true
    await this.#inTurn(() => this.#shut())
    await this.#store.terminate()
  }

  // --- every second -----------------------------------------------------------------

  #tick(): void {
    this.#clockReport.look()
    void this.#intake.flush()
    void this.#minutes.write()
    const now = readMonotonic()
    if (now - this.#lookedMs >= LOOK_MS) this.#look(now)
    const isDue = now - this.#sealedMs >= (this.#state.words.state === 'stopped' ? LOOK_MS : SEAL_MS)
    if (isDue || this.#intake.unsealed >= SEAL_SAMPLES) this.#seal(now)
    if (this.#clock !== null) this.#retention.look(this.#clock.now())
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
    void this.#store.writing(async (link) => {
      const status = await link.writer.call('samples', [[]])
      this.#tell(status)
      if (wantsSeal(status, this.#settings.minFreeBytes)) this.#seal(now)
    })
  }

  #seal(now: number): void {
    this.#sealedMs = now
    this.#intake.sealed()
    void this.#store.writing(async (link) => {
      this.#tell(await link.writer.call('seal', []))
      await this.#events.write()
      await this.#minutes.write()
    })
  }

  /** An event of the recorder's own. */
  #say(event: Pick<NewEvent, 'kind' | 'text' | 'data'>): void {
    void this.event({ timeMs: this.#epochMs(), zone: null, who: null, ...event })
  }

  // --- the store ------------------------------------------------------------------------

  #tellRevision(link: StoreLink): Promise<void> {
    return link.writer.call('configure', [this.#revision, this.#epochMs(), scalesOf(this.#config)])
  }

  async #open(): Promise<void> {
    if (this.#isClosed) return
    if (!this.#settings.enabled) return this.#state.become(OFF)
    this.#state.become(OPENING)
    const { path, minFreeBytes, keep } = this.#settings
    try {
      const link = this.#store.threads((error) => this.#ended(error))
      const found = await link.writer.call('open', [
        { path, minFreeBytes, keep, nowMs: this.#options.wallMs(), isBroken: this.#isBroken },
      ])
      this.#isBroken = false
      link.readFrom(path)
      this.#newestMs = found.newestMs
      this.#openedMs = readMonotonic()
      this.#intake.beginAfter(found.newestMs)
      await this.#tellRevision(link)
      this.#events.continueAfter(found.lastEventId)
      this.#store.becomeOpen()
      this.#tell(await link.writer.call('samples', [[]]))
      if (found.setAside !== null) this.#saySetAside(found.setAside)
      await this.#events.write()
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
    this.#state.become(stoppedBy(known))
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
    const { link } = this.#store
    if (link === null) return
    await this.#events.write()
    await this.#minutes.write()
    this.#store.becomeClosed()
    await link.closeReader()
    await link.writer.call('close', []).catch(() => {})
    this.#forgetWriter()
    this.#retention.forgetKept()
  }

  /** A thread died: a fault of ours or of SQLite. Live viewing goes on, and so does recording in a while. */
  #ended(error: Error): void {
    if (this.#isClosed) return
    void this.#store.terminate()
    this.#forgetWriter()
    this.#cannotOpen(new EvenpullError('EVP_INTERNAL', `the recorder's thread ended: ${error.message}`))
  }

  /** Its count begins anew with the next one; what was lost stays lost. */
  #forgetWriter(): void {
    this.#intake.lose(this.#writer?.lostSamples ?? 0)
    this.#writer = null
  }

  #tell(status: WriterStatus): void {
    this.#writer = status
    if (status.fault?.kind === 'broken' && !this.#isBroken) {
      this.#isBroken = true
      void this.#inTurn(() => this.#reopen())
    }
    this.#state.become(wordsOf(status, this.#settings.minFreeBytes, this.#lostSamples > 0))
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

const messageOf = (error: unknown) => (error instanceof Error ? error.message : String(error))
