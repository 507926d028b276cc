import type { EvenpullError } from '../../shared/errors.ts'
import type { AlarmList } from '../../shared/schemas/alarms.ts'
import type { NewEvent, StoredEvent } from '../../shared/schemas/events.ts'
import type { StatusBody } from '../../shared/schemas/forward.ts'
import type { ForwardStatus } from '../../shared/schemas/forward-status.ts'
import { BrokerConnection } from './broker-connection.ts'
import type { BrokerLink, Outgoing } from './broker-link.ts'
import type { Destination, Picture } from './destination.ts'
import {
  alarmsBody,
  bodyText,
  deviceBody,
  eventBody,
  type Head,
  NO_NUMBER,
  payloadOf,
  userProperties,
  zoneBody,
} from './message.ts'
import { QueueKeeper } from './queue-keeper.ts'
import type { OutboxRow, StoreAccess } from './queue-store.ts'
import { type Counts, Sender } from './sender.ts'
import { type MqttSettings, whereOf } from './settings.ts'
import { StateBoard } from './state-board.ts'
import { topics } from './topics.ts'
import { wait } from './wait.ts'

export interface MqttDestinationOptions {
  readonly settings: MqttSettings
  /** Of the gateway. */
  readonly version: string
  readonly store: () => StoreAccess
  /** Epoch ms on the gateway's clock. */
  readonly nowMs: () => number
  readonly monotonicMs: () => number
  /** From 0 to 1. */
  readonly random: () => number
  /** A line of the trail. */
  readonly event: (event: NewEvent) => void
  readonly log: (line: string) => void
}

/** A state is true for so many periods after it was told. */
const VALID_PERIODS = 3
/** What could not be queued and waits for its turn on the line; the oldest go beyond. */
const MOST_LIVE = 500
const DRAIN_MS = 1000
const DRAIN_LOOK_MS = 20

/**
 * Sends figures, verdicts, alarms, devices and events to an MQTT 5 broker.
 *
 * What was goes through the queue: numbered and on the disk before it is sent, kept until the broker has taken it. What
 * is goes beside it, as retained states that expire. Nothing here ever waits for the broker but its own connection.
 */
export class MqttDestination implements Destination {
  readonly #options: MqttDestinationOptions
  readonly #board = new StateBoard()
  readonly #live: OutboxRow[] = []
  readonly #counts: Counts = { delivered: 0, dropped: 0, refused: 0 }
  readonly #keeper: QueueKeeper
  readonly #connection: BrokerConnection
  #sender: Sender | null = null
  /** When the connection was tried that its messages tell of. */
  #connectedMs = 0
  #isLossTold = false
  #isDropTold = false
  #droppedTold = 0
  #dueMs = 0
  #alarms: AlarmList | null = null

  constructor(options: MqttDestinationOptions) {
    const { settings, store } = options
    this.#options = options
    this.#keeper = new QueueKeeper({
      ...settings,
      name: 'mqtt',
      store,
      eventRow: (event) => this.#eventRow(event, event.id),
      readable: () => this.#sender?.pump(),
      dropped: (count) => this.#dropped(count),
    })
    this.#keeper.look(options.nowMs())
    this.#connection = new BrokerConnection({
      ...options,
      will: () => {
        this.#connectedMs = options.nowMs()
        return this.#statusMessage('lost', 'The connection broke without a farewell; when, only the broker knows.')
      },
      opened: (link) => this.#opened(link),
      lost: (error) => this.#lost(error),
    })
  }

  get status(): ForwardStatus {
    const { settings } = this.#options
    const connection = this.#connection.status
    const waiting = this.#keeper.queue?.extent ?? { queued: null, queuedBytes: null, oldestMs: null }
    return {
      where: whereOf(settings),
      topic: settings.topic,
      ...connection,
      sentence: sentenceOf(connection.state, waiting.queued, this.#keeper.why),
      liveOnly: this.#keeper.why,
      ...waiting,
      ...this.#counts,
    }
  }

  look(picture: Picture): void {
    const { nowMs: now, settings } = this.#options
    const nowMs = now()
    this.#keeper.look(nowMs)
    const { everyMs } = settings
    // A clock that was put back does not hold anything up.
    if (nowMs < this.#dueMs && this.#dueMs - nowMs <= everyMs) return
    this.#dueMs = (Math.floor(nowMs / everyMs) + 1) * everyMs
    void this.#tellPicture(picture, nowMs)
    this.#tellStatus(nowMs)
    if (this.#alarms !== null) this.#tellAlarms({ ...this.#alarms, timeMs: nowMs })
    this.#sender?.pump()
  }

  event(event: StoredEvent): void {
    void this.#keepEvent(event)
  }

  alarms(list: AlarmList): void {
    this.#alarms = list
    this.#tellAlarms(list)
    this.#sender?.pump()
  }

  /** Says goodbye to the broker; what waits goes on waiting in the store. */
  async close(): Promise<void> {
    await this.#drain()
    const sender = this.#sender
    this.#sender = null
    sender?.stop()
    await this.#connection.close(() => this.#statusMessage('stopped', 'The gateway was stopped.'))
    await this.#keeper.tidy(this.#options.nowMs())
  }

  /** Lets the last words go out while the broker takes them, for a moment. */
  async #drain(): Promise<void> {
    for (let waitedMs = 0; waitedMs < DRAIN_MS; waitedMs += DRAIN_LOOK_MS) {
      if (!this.#connection.isOpen || this.#keeper.isIdle) return
      await wait(DRAIN_LOOK_MS)
    }
  }

  // --- what was ------------------------------------------------------------------

  async #tellPicture(picture: Picture, nowMs: number): Promise<void> {
    const rows = this.#rowsOf(picture, nowMs)
    const kept = await this.#keep(rows.map(({ values, body, timeMs }) => ({ timeMs, topic: values, body })))
    for (const [i, { now, body, timeMs }] of rows.entries())
      this.#setState(now, body, timeMs, kept.isKept ? { queue: kept.queue, seq: kept.first + i } : NO_NUMBER)
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
    if (await this.#keeper.hasTakenUp(event)) return
    const id = this.#keeper.queue === null ? null : event.id
    const row = this.#eventRow(event, id)
    if (row === undefined) return
    await this.#keep([row])
    this.#sender?.pump()
  }

  /** Who logs in is nobody's business on a broker. An event that is not recorded has no number yet. */
  #eventRow(event: StoredEvent, id: number | null): OutboxRow | undefined {
    if (event.kind === 'access') return undefined
    const body = bodyText(eventBody({ ...event, id }, this.#options.settings))
    return { timeMs: event.timeMs, topic: topics.event(event.kind), body }
  }

  /** Puts rows into the queue; where there is none, into the line for what is sent now or never. */
  async #keep(rows: readonly OutboxRow[]) {
    const kept = await this.#keeper.keep(rows)
    if (kept.isKept) return kept
    if (this.#connection.isOpen) this.#live.push(...rows)
    else this.#counts.dropped += rows.length
    this.#counts.dropped += this.#live.splice(0, Math.max(0, this.#live.length - MOST_LIVE)).length
    return kept
  }

  // --- what is ---------------------------------------------------------------------

  #setState(topic: string, body: string, timeMs: number, numbers: Pick<Head, 'queue' | 'seq'>): void {
    if (!this.#connection.isOpen) return
    this.#board.set(topic, { body, ...numbers, validUntilMs: timeMs + VALID_PERIODS * this.#options.settings.everyMs })
  }

  #tellAlarms(list: AlarmList): void {
    this.#setState(topics.alarms, bodyText(alarmsBody(list, this.#options.settings)), list.timeMs, NO_NUMBER)
  }

  #tellStatus(nowMs: number): void {
    const body = bodyText(this.#statusBody('online', 'The gateway is connected.', nowMs))
    this.#setState(topics.status, body, nowMs, NO_NUMBER)
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
      connectedMs: this.#connectedMs,
      queued: this.#keeper.queue?.extent.queued ?? null,
      dropped: this.#counts.dropped,
    }
  }

  /** A status that stays until another is said. */
  #statusMessage(state: 'stopped' | 'lost', sentence: string): Outgoing {
    const timeMs = state === 'lost' ? null : this.#options.nowMs()
    return {
      topic: `${this.#options.settings.topic}/${topics.status}`,
      payload: payloadOf(bodyText(this.#statusBody(state, sentence, timeMs)), NO_NUMBER),
      retain: true,
      userProperties: userProperties(NO_NUMBER),
    }
  }

  // --- the connection ----------------------------------------------------------------

  #opened(link: BrokerLink): void {
    const { nowMs } = this.#options
    this.#keeper.queue?.rewind()
    this.#board.clear()
    this.#sender = new Sender({
      ...this.#options,
      link,
      board: this.#board,
      live: this.#live,
      queue: () => this.#keeper.queue,
      counts: this.#counts,
      refused: (error) => this.#connection.refused(error),
    })
    this.#sayConnected()
    this.#tellStatus(nowMs())
    // What is is told at once, not at the next full period.
    this.#dueMs = 0
    this.#sender.pump()
    void link.closed.then(() => this.#closed())
  }

  #closed(): void {
    this.#sender?.stop()
    this.#sender = null
    this.#counts.dropped += this.#live.splice(0).length
  }

  #lost(error: EvenpullError): void {
    if (this.#isLossTold) return
    this.#isLossTold = true
    const meanwhile = this.#keeper.why === null ? 'messages wait' : 'messages are lost meanwhile'
    this.#say(`${error.message}; ${meanwhile}.`, { code: error.code })
  }

  #sayConnected(): void {
    const lost = this.#counts.dropped - this.#droppedTold
    this.#droppedTold = this.#counts.dropped
    this.#isDropTold = false
    if (this.#isLossTold || lost > 0)
      this.#say(`connected${lost > 0 ? `; ${lost} messages were dropped meanwhile` : ''}.`, { dropped: lost })
    this.#isLossTold = false
  }

  #dropped(count: number): void {
    this.#counts.dropped += count
    if (this.#isDropTold) return
    this.#isDropTold = true
    this.#say('more waits than recorder.keep.outbox allows: the oldest messages are dropped and counted.', {})
  }

  #say(what: string, data: NewEvent['data']): void {
    const { event, log, nowMs, settings } = this.#options
    const text = `Sending on to ${whereOf(settings)}: ${what}`
    log(`forward: ${text}`)
    event({ timeMs: nowMs(), kind: 'forward', zone: null, who: null, text, data: { destination: 'mqtt', ...data } })
  }
}

function sentenceOf(state: ForwardStatus['state'], queued: number | null, liveOnly: string | null): string {
  switch (state) {
    case 'connecting':
      return 'Connecting to the broker for the first time.'
    case 'connected':
      return liveOnly === null ? 'Connected.' : `Connected, live only: ${liveOnly}`
    case 'waiting':
      return `Not connected; ${queued === null ? 'nothing waits for it' : `${queued} messages wait`}.`
  }
}
