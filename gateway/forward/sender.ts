import type { EvenpullError } from '../../shared/errors.ts'
import { rateLimit } from '../http/rate-limit.ts'
import { refusedError } from './broker-errors.ts'
import type { BrokerLink, Outgoing, Taken } from './broker-link.ts'
import { type Head, payloadOf, userProperties } from './message.ts'
import type { ForwardQueue } from './queue.ts'
import type { OutboxRow } from './queue-store.ts'
import type { MqttSettings } from './settings.ts'
import type { State, StateBoard } from './state-board.ts'

/** Since the gateway started. */
export interface Counts {
  delivered: number
  dropped: number
  refused: number
}

export interface SenderOptions {
  readonly settings: MqttSettings
  readonly link: BrokerLink
  readonly board: StateBoard
  /** What cannot be queued; sent now or never. */
  readonly live: OutboxRow[]
  readonly queue: () => ForwardQueue | null
  readonly counts: Counts
  /** Epoch ms. */
  readonly nowMs: () => number
  readonly monotonicMs: () => number
  /** The broker does not take messages of this user: the connection is of no use. */
  readonly refused: (error: EvenpullError) => void
}

/** Messages a second out of the queue, so that catching up leaves the line to what is live. */
export const CATCH_UP_PER_S = 500
const ASK_AGAIN_MS = 20
/** Refused for what the message is, so that it would be refused for ever (topic, size, form). */
const NEVER = new Set([144, 149, 153])
/** Room for topic, properties and head beside the payload. */
const PACKET_HEAD = 1024

/** Feeds one connection: states first, then what is live only, then the queue; never more under way than the broker allows. */
export class Sender {
  readonly #options: SenderOptions
  readonly #allowed = rateLimit(CATCH_UP_PER_S)
  #underWay = 0
  #isOver = false
  #again: NodeJS.Timeout | null = null

  constructor(options: SenderOptions) {
    this.#options = options
  }

  pump(): void {
    while (!this.#isOver && this.#underWay < this.#options.link.window) {
      if (!this.#sendState() && !this.#sendLive() && !this.#sendQueued()) return
    }
  }

  /** Sends nothing more; what is under way is left to itself. */
  stop(): void {
    this.#isOver = true
    if (this.#again !== null) clearTimeout(this.#again)
  }

  #sendState(): boolean {
    const { board, nowMs } = this.#options
    const taken = board.take(nowMs())
    if (taken === undefined) return false
    const { topic, state } = taken
    this.#send(this.#stateMessage(topic, state), (answer) => {
      board.settled(topic)
      this.#count(answer)
    })
    return true
  }

  #stateMessage(topic: string, { body, queue, seq, validUntilMs }: State): Outgoing {
    if (validUntilMs === null) return this.#message(topic, body, { queue, seq }, { retain: true })
    const expirySeconds = Math.max(1, Math.ceil((validUntilMs - this.#options.nowMs()) / 1000))
    return this.#message(topic, body, { queue, seq, validUntilMs }, { retain: true, expirySeconds })
  }

  #sendLive(): boolean {
    const row = this.#options.live.shift()
    if (row === undefined) return false
    this.#send(this.#message(row.topic, row.body, { queue: null, seq: null }), (answer) => this.#count(answer))
    return true
  }

  #sendQueued(): boolean {
    const queue = this.#options.queue()
    const row = queue?.next()
    if (queue === null || row === undefined) return false
    if (!this.#allowed('', this.#options.monotonicMs())) {
      this.#pumpLater()
      return false
    }
    queue.sent()
    this.#send(this.#message(row.topic, row.body, { queue: queue.id, seq: row.seq }), (answer) => {
      this.#count(answer)
      if (answer.isTaken || NEVER.has(answer.reason)) queue.acked(row.seq)
    })
    return true
  }

  #message(
    topic: string,
    body: string,
    head: Head,
    more: Pick<Outgoing, 'expirySeconds'> & { readonly retain?: boolean } = {},
  ): Outgoing {
    return {
      retain: false,
      ...more,
      topic: `${this.#options.settings.topic}/${topic}`,
      payload: payloadOf(body, head),
      userProperties: userProperties(head),
    }
  }

  #send(message: Outgoing, settled: (answer: Taken) => void): void {
    const { link } = this.#options
    if (Buffer.byteLength(message.payload) + PACKET_HEAD > link.maxBytes) {
      settled({ isTaken: false, reason: 149, why: 'larger than the broker takes' })
      return
    }
    this.#underWay += 1
    link.publish(message).then(
      (answer) => {
        this.#underWay -= 1
        if (this.#isOver) return
        settled(answer)
        this.pump()
      },
      () => {}, // The connection ended: what was under way is sent again on the next.
    )
  }

  #count(answer: Taken): void {
    const { counts, refused, settings } = this.#options
    if (answer.isTaken) counts.delivered += 1
    else if (NEVER.has(answer.reason)) counts.refused += 1
    else refused(refusedError(answer.reason, settings))
  }

  #pumpLater(): void {
    this.#again ??= setTimeout(() => {
      this.#again = null
      this.pump()
    }, ASK_AGAIN_MS)
  }
}
