import { randomUUID } from 'node:crypto'
import { EvenpullError } from '../../shared/errors.ts'
import type { AlarmList } from '../../shared/schemas/alarms.ts'
import type { NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import type { StatusBody } from '../../shared/schemas/forward.ts'
import type { ForwardStatus } from '../../shared/schemas/forward-status.ts'
import { errorOf } from './broker-errors.ts'
import { type BrokerLink, connectBroker, type Outgoing } from './broker-link.ts'
import type { Destination, Picture } from './destination.ts'
import { alarmsBody, bodyText, deviceBody, eventBody, payloadOf, userProperties, zoneBody } from './message.ts'
import { ForwardQueue } from './queue.ts'
import type { OutboxRow, QueueStore, StoreAccess } from './queue-store.ts'
import { readSecrets } from './secrets.ts'
import { type Counts, Sender } from './sender.ts'
import { type MqttSettings, whereOf } from './settings.ts'
import { StateBoard } from './state-board.ts'
import { topics } from './topics.ts'

export interface MqttDestinationOptions {
  readonly settings: MqttSettings
  /** Of the gateway. */
  readonly version: string
  readonly store: () => StoreAccess
  /** Epoch ms on the gateway's clock. */
  readonly nowMs: () => number
  readonly monotonicMs: () => number
  readonly random: () => number
  /** A line of the trail. */
  readonly event: (event: NewEvent) => void
  readonly log: (line: string) => void
}

/** A state is true for so many periods after it was told. */
const VALID_PERIODS = 3
const TIDY_EVERY_MS = 1000
const QUEUE_RETRY_MS = 10_000
const FIRST_RETRY_MS = 1000
const LONGEST_RETRY_MS = 30_000
/** A connection that held this long was a good one: the next attempt need not wait long. */
const GOOD_MS = 10_000
/** Rows that the store has not taken yet; the disk hangs when there are more. */
const MOST_APPENDING = 5000
const MOST_LIVE = 500
const GOODBYE_MS = 2000
const DRAIN_MS = 1000
const DRAIN_LOOK_MS = 20

/**
 * Sends figures, verdicts, alarms, devices and events to an MQTT 5 broker.
 *
 * What was goes through the queue: numbered and on the disk before it is sent, kept until the broker has taken it. What
 * is goes beside it as retained states that expire. Nothing here ever waits for the broker but its own connection.
 */
export class MqttDestination implements Destination {
  readonly #options: MqttDestinationOptions
  readonly #board = new StateBoard()
  readonly #live: OutboxRow[] = []
  readonly #counts: Counts = { delivered: 0, dropped: 0, refused: 0 }
  readonly #end = new AbortController()
  readonly #loop: Promise<void>
  #place: string | null = null
  #ready: Promise<ForwardQueue | null> = Promise.resolve(null)
  #queue: ForwardQueue | null = null
  /** Events that the queue took up when it was opened, though they were told meanwhile. */
  #takenUp = new Set<number>()
  #notQueued: string | null = null
  #openAgainMs = 0
  #appending = 0
  #link: BrokerLink | null = null
  #sender: Sender | null = null
  #state: ForwardStatus['state'] = 'connecting'
  #sinceMs: number
  /** Of the newest attempt: what the last will has to know before. */
  #attemptMs = 0
  #lastError: ForwardStatus['lastError'] = null
  #isLossTold = false
  #droppedTold = 0
  #dueMs = 0
  #tidyMs = 0
  #alarms: AlarmList | null = null

  constructor(options: MqttDestinationOptions) {
    this.#options = options
    this.#sinceMs = options.nowMs()
    this.#watchStore(this.#sinceMs)
    this.#loop = this.#run()
  }

  get status(): ForwardStatus {
    const { settings } = this.#options
    const extent = this.#queue?.extent ?? { queued: null, queuedBytes: null, oldestMs: null }
    return {
      where: whereOf(settings),
      topic: settings.topic,
      state: this.#state,
      sinceMs: this.#sinceMs,
      sentence: this.#sentence(extent.queued),
      lastError: this.#lastError,
      liveOnly: this.#notQueued,
      ...extent,
      ...this.#counts,
    }
  }

  look(picture: Picture): void {
    const nowMs = this.#options.nowMs()
    this.#watchStore(nowMs)
    this.#tidy(nowMs)
    const { everyMs } = this.#options.settings
    // A clock that was put back does not hold anything up.
    if (nowMs < this.#dueMs && this.#dueMs - nowMs <= everyMs) return
    this.#dueMs = (Math.floor(nowMs / everyMs) + 1) * everyMs
    void this.#tellPicture(picture, nowMs)
    this.#tellStatus(nowMs)
    if (this.#alarms !== null)
      this.#setState(
        topics.alarms,
        bodyText(alarmsBody({ ...this.#alarms, timeMs: nowMs }, this.#options.settings)),
        nowMs,
      )
    this.#sender?.pump()
  }

  event(event: StoredEvent): void {
    // Who logs in is nobody's business on a broker.
    if (event.kind !== 'access') void this.#keepEvent(event)
  }

  alarms(list: AlarmList): void {
    this.#alarms = list
    this.#setState(topics.alarms, bodyText(alarmsBody(list, this.#options.settings)), this.#options.nowMs())
    this.#sender?.pump()
  }

  /** Says goodbye to the broker; what waits goes on waiting in the store. */
  async close(): Promise<void> {
    await this.#drain()
    const link = this.#link
    const sender = this.#sender
    this.#sender = null
    sender?.stop()
    this.#end.abort()
    if (link !== null) {
      const farewell = link.publish(this.#statusMessage('stopped', 'The gateway was stopped.'))
      await Promise.race([farewell.catch(() => {}), wait(GOODBYE_MS)])
      await link.close()
    }
    await this.#loop
    const queue = await this.#ready
    await queue?.tidy(this.#options.nowMs()).catch(() => {})
  }

  /** Lets the last words go out while the broker takes them, for a moment. */
  async #drain(): Promise<void> {
    for (let waitedMs = 0; waitedMs < DRAIN_MS; waitedMs += DRAIN_LOOK_MS) {
      if (this.#link === null || (this.#appending === 0 && (this.#queue?.extent.queued ?? 0) === 0)) return
      await wait(DRAIN_LOOK_MS)
    }
  }

  // --- what is told ------------------------------------------------------------

  async #tellPicture(picture: Picture, nowMs: number): Promise<void> {
    const rows = this.#rowsOf(picture, nowMs)
    const { queue, first } = await this.#keep(rows.map(({ values, body, timeMs }) => ({ timeMs, topic: values, body })))
    for (const [i, { now, body, timeMs }] of rows.entries())
      this.#setState(now, body, timeMs, { queue, seq: first === null ? null : first + i })
    this.#sender?.pump()
  }

  #rowsOf({ zones, devices, names, revision }: Picture, nowMs: number) {
    const { settings } = this.#options
    return [
      ...zones.map((now) => ({
        ...topics.zone(now.zone),
        timeMs: now.timeMs,
        body: bodyText(zoneBody(now, names.get(now.zone) ?? now.zone, revision, settings)),
      })),
      ...devices.map((device) => ({
        ...topics.device(device.id),
        timeMs: nowMs,
        body: bodyText(deviceBody(device, nowMs, settings)),
      })),
    ]
  }

  async #keepEvent(event: StoredEvent): Promise<void> {
    const { settings } = this.#options
    const queue = await this.#ready
    if (this.#takenUp.delete(event.id)) return
    const row = (id: number | null): OutboxRow => ({
      timeMs: event.timeMs,
      topic: topics.event(event.kind),
      body: bodyText(eventBody({ ...event, id }, settings)),
    })
    await this.#keep([row(queue === null ? null : event.id)])
    this.#sender?.pump()
  }

  /** Puts rows into the queue; into the line for live ones where there is no queue. */
  async #keep(rows: readonly OutboxRow[]): Promise<{ readonly queue: string | null; readonly first: number | null }> {
    const nothing = { queue: null, first: null }
    if (rows.length === 0) return nothing
    if (this.#appending + rows.length > MOST_APPENDING) {
      this.#counts.dropped += rows.length
      return nothing
    }
    this.#appending += rows.length
    try {
      const queue = await this.#ready
      if (queue === null) throw new Error(this.#notQueued ?? 'nothing can be kept')
      const first = await queue.append(rows)
      this.#notQueued = null
      return { queue: queue.id, first }
    } catch (error) {
      this.#notQueued = messageOf(error)
      this.#sendLive(rows)
      return nothing
    } finally {
      this.#appending -= rows.length
    }
  }

  #sendLive(rows: readonly OutboxRow[]): void {
    if (this.#link === null) {
      this.#counts.dropped += rows.length
      return
    }
    this.#live.push(...rows)
    this.#counts.dropped += this.#live.splice(0, Math.max(0, this.#live.length - MOST_LIVE)).length
  }

  #setState(
    topic: string,
    body: string,
    timeMs: number,
    numbers: { readonly queue: string | null; readonly seq: number | null } = { queue: null, seq: null },
  ): void {
    if (this.#link === null) return
    this.#board.set(topic, { body, ...numbers, validUntilMs: timeMs + VALID_PERIODS * this.#options.settings.everyMs })
  }

  #tellStatus(nowMs: number): void {
    this.#setState(topics.status, bodyText(this.#statusBody('online', 'The gateway is connected.', nowMs)), nowMs)
  }

  #statusBody(state: StatusBody['state'], sentence: string, timeMs: number | null): StatusBody {
    const { settings, version } = this.#options
    const { plant, line } = settings
    return {
      kind: 'status',
      plant,
      line,
      timeMs,
      state,
      sentence,
      gateway: version,
      connectedMs: this.#attemptMs,
      queued: this.#queue?.extent.queued ?? null,
      dropped: this.#counts.dropped,
    }
  }

  /** A status that stays until another is said. */
  #statusMessage(state: 'stopped' | 'lost', sentence: string): Outgoing {
    const head = { queue: null, seq: null }
    const timeMs = state === 'lost' ? null : this.#options.nowMs()
    return {
      topic: `${this.#options.settings.topic}/${topics.status}`,
      payload: payloadOf(bodyText(this.#statusBody(state, sentence, timeMs)), head),
      retain: true,
      userProperties: userProperties(head),
    }
  }

  // --- the queue -----------------------------------------------------------------

  #watchStore(nowMs: number): void {
    const access = this.#options.store()
    if (access.place === null) {
      if (this.#place !== null) this.#ready = Promise.resolve(null)
      this.#queue = null
      this.#place = null
      this.#notQueued = access.why
      return
    }
    if (access.place === this.#place && nowMs < this.#openAgainMs) return
    this.#place = access.place
    this.#openAgainMs = Number.POSITIVE_INFINITY
    this.#queue = null
    this.#ready = this.#openQueue(access.place, access.store)
  }

  async #openQueue(place: string, store: QueueStore): Promise<ForwardQueue | null> {
    const { settings, nowMs } = this.#options
    const { keepMs, keepBytes } = settings
    try {
      const queue = await ForwardQueue.open({
        store,
        name: 'mqtt',
        newId: randomUUID,
        keepMs,
        keepBytes,
        readable: () => this.#sender?.pump(),
      })
      await this.#takeUpEvents(queue, nowMs() - keepMs)
      if (this.#place !== place) return null
      this.#queue = queue
      this.#notQueued = null
      return queue
    } catch (error) {
      this.#notQueued = messageOf(error)
      this.#openAgainMs = nowMs() + QUEUE_RETRY_MS
      return null
    }
  }

  async #takeUpEvents(queue: ForwardQueue, sinceMs: number): Promise<void> {
    const missed = (await queue.missedEvents(sinceMs)).filter(({ kind }) => kind !== 'access')
    this.#takenUp = new Set(missed.map(({ id }) => id))
    if (missed.length === 0) return
    const rows = missed.map((event) => ({
      timeMs: event.timeMs,
      topic: topics.event(event.kind),
      body: bodyText(eventBody(event, this.#options.settings)),
    }))
    await queue.append(rows)
  }

  #tidy(nowMs: number): void {
    const queue = this.#queue
    if (queue === null || Math.abs(nowMs - this.#tidyMs) < TIDY_EVERY_MS) return
    this.#tidyMs = nowMs
    queue.tidy(nowMs).then(
      (dropped) => this.#noteDropped(dropped),
      (error) => {
        this.#notQueued = messageOf(error)
      },
    )
  }

  #noteDropped(dropped: number): void {
    if (dropped === 0) return
    if (this.#counts.dropped === this.#droppedTold)
      this.#say('the queue is full: from now on the oldest messages are dropped, and counted.', {})
    this.#counts.dropped += dropped
  }

  // --- the connection --------------------------------------------------------------

  async #run(): Promise<void> {
    for (let attempt = 0; !this.#end.signal.aborted; ) {
      const begunMs = this.#options.monotonicMs()
      const error = await this.#connection()
      if (this.#end.signal.aborted) return
      if (error !== null) this.#lost(error)
      attempt = this.#options.monotonicMs() - begunMs > GOOD_MS ? 1 : attempt + 1
      await wait(this.#retryMs(attempt), this.#end.signal)
    }
  }

  /** One connection from its attempt to its end; null when it was ended here. */
  async #connection(): Promise<EvenpullError | null> {
    const { settings, log } = this.#options
    try {
      const secrets = await readSecrets(settings)
      if (this.#end.signal.aborted) return null
      this.#attemptMs = this.#options.nowMs()
      const will = this.#statusMessage('lost', 'The connection broke without a farewell; when, only the broker knows.')
      const link = await connectBroker({ settings, ...secrets, will })
      if (this.#end.signal.aborted) {
        await link.close()
        return null
      }
      return await this.#serve(link)
    } catch (error) {
      if (!(error instanceof EvenpullError)) log(`forward: ${messageOf(error)}`)
      return errorOf(error, settings)
    }
  }

  async #serve(link: BrokerLink): Promise<EvenpullError | null> {
    const { settings, nowMs, monotonicMs } = this.#options
    let refusal: EvenpullError | null = null
    this.#queue?.rewind()
    this.#board.clear()
    this.#link = link
    this.#sender = new Sender({
      settings,
      link,
      board: this.#board,
      live: this.#live,
      queue: () => this.#queue,
      counts: this.#counts,
      nowMs,
      monotonicMs,
      refused: (error) => {
        refusal ??= error
        void link.close()
      },
    })
    this.#connected()
    this.#tellStatus(nowMs())
    // What is is told at once, not at the next full period.
    this.#dueMs = 0
    this.#sender.pump()
    const error = await link.closed
    this.#sender?.stop()
    this.#sender = null
    this.#link = null
    this.#counts.dropped += this.#live.splice(0).length
    return refusal ?? error
  }

  #connected(): void {
    this.#become('connected')
    const lost = this.#counts.dropped - this.#droppedTold
    this.#droppedTold = this.#counts.dropped
    if (this.#isLossTold || lost > 0)
      this.#say(`connected again${lost > 0 ? `; ${lost} messages were dropped meanwhile` : ''}.`, { dropped: lost })
    this.#isLossTold = false
  }

  #lost(error: EvenpullError): void {
    const { code, message, remedy } = error
    this.#lastError = { code, message, remedy, timeMs: this.#options.nowMs() }
    this.#become('waiting')
    if (this.#isLossTold) return
    this.#isLossTold = true
    this.#say(`${message}; ${this.#notQueued === null ? 'messages wait' : 'messages are lost meanwhile'}.`, { code })
  }

  #become(state: ForwardStatus['state']): void {
    if (this.#state === state) return
    this.#state = state
    this.#sinceMs = this.#options.nowMs()
  }

  #say(what: string, data: NewEvent['data']): void {
    const { event, log, nowMs, settings } = this.#options
    const text = `Sending on to ${whereOf(settings)}: ${what}`
    log(`forward: ${text}`)
    event({ timeMs: nowMs(), kind: 'forward', zone: null, who: null, text, data: { destination: 'mqtt', ...data } })
  }

  #sentence(queued: number | null): string {
    const waiting = queued === null ? 'nothing waits for it' : `${queued} messages wait`
    switch (this.#state) {
      case 'connecting':
        return 'Connecting to the broker for the first time.'
      case 'connected':
        return this.#notQueued === null ? 'Connected.' : `Connected, live only: ${this.#notQueued}`
      case 'waiting':
        return `Not connected; ${waiting}.`
    }
  }

  #retryMs(attempt: number): number {
    const base = Math.min(FIRST_RETRY_MS * 2 ** (attempt - 1), LONGEST_RETRY_MS)
    // So that many gateways do not all come back at once.
    return base * (0.5 + this.#options.random() / 2)
  }
}

/** Also resolves, early, when it is aborted. */
function wait(ms: number, signal?: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const end = () => {
      clearTimeout(timer)
      signal?.removeEventListener('abort', end)
      resolve()
    }
    const timer = setTimeout(end, ms)
    signal?.addEventListener('abort', end)
    if (signal?.aborted) end()
  })
}

const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error))
