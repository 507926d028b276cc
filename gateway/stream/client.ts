import { EvenpullError } from '../../shared/errors.ts'
import type { ServerMessage } from '../../shared/protocol/messages.ts'
import { MAX_BUFFERED_BYTES } from '../../shared/protocol/version.ts'
import type { EncodedBatch, ZoneStream } from './zone-stream.ts'

/** What a client needs of its socket; a test puts a made one in its place. */
export interface Outlet {
  /** Bytes handed over that the system has not taken yet. */
  readonly bufferedAmount: number
  /** Sends one message; `done` is called when the system has taken it. */
  send(bytes: Uint8Array, binary: boolean, done: () => void): void
  /** Runs `resume` after other events had their turn. */
  later(resume: () => void): void
}

/** Backlog goes on only while less than this is buffered, so that it alone never makes a client slow. */
const PUMP_BELOW_BYTES = MAX_BUFFERED_BYTES / 4
/** Messages of backlog sent to one client before others get their turn. */
const PUMP_TURN_MESSAGES = 8
/** Unread beyond this, nothing more may be asked for: what is told with each subscription waits for no room. */
const MAX_UNREAD_BYTES = 4 * 1024 * 1024
/** Ranges of missed batches a client may have waiting. */
export const MAX_MISSED_RANGES = 16

/**
 * `catching-up`: backlog is being sent. `live`: each batch as it comes. `behind`: the client was too
 * slow; what came since waits to be told as an envelope and a count.
 */
type SubscriptionState = 'catching-up' | 'live' | 'behind'

interface Subscription {
  readonly zone: ZoneStream
  state: SubscriptionState
  /** Next batch to send, and its first row: every row before it was sent or counted as dropped. */
  nextSeq: number
  nextRow: number
}

interface MissedRange {
  readonly zone: ZoneStream
  nextSeq: number
  readonly toSeq: number
}

/** Texts of which only the newest matters; a slow client skips the ones between. */
export type LatestKind = 'now' | 'health' | 'alarms'

export const encodeText = (message: ServerMessage): Uint8Array => Buffer.from(JSON.stringify(message))

/**
 * One client's side of the stream: which batch each of its zones waits for, and whether its
 * socket keeps up. A slow client never holds more than the buffered limit and one message of
 * each kind; nobody else waits for it.
 */
export class StreamClient {
  readonly #outlet: Outlet
  readonly #subscriptions = new Map<string, Subscription>()
  readonly #missed: MissedRange[] = []
  readonly #latest = new Map<LatestKind, Uint8Array>()
  #pumping = false
  /** Monotonic ms since when it has been too slow to be sent anything; null while it keeps up. */
  stalledSinceMs: number | null = null

  constructor(outlet: Outlet) {
    this.#outlet = outlet
  }

  get #full(): boolean {
    return this.#outlet.bufferedAmount > MAX_BUFFERED_BYTES
  }

  /** Throws EVP_TOO_MANY while what was asked for before has not been read. */
  refuseUnread(): void {
    if (this.#outlet.bufferedAmount > MAX_UNREAD_BYTES)
      throw new EvenpullError('EVP_TOO_MANY', `${MAX_UNREAD_BYTES} bytes that were asked for before wait to be read`)
  }

  /** Sends a message that must not be lost (hello, dropped, caught-up, refused). */
  control(message: ServerMessage): void {
    this.#send(encodeText(message), false)
  }

  /** Sends a text of which only the newest matters; a slow client gets it later, or a newer one. */
  latest(kind: LatestKind, bytes: Uint8Array, nowMs: number): void {
    if (this.#full) {
      this.#latest.set(kind, bytes)
      this.#stalled(nowMs)
      return
    }
    this.#latest.delete(kind)
    this.#send(bytes, false)
  }

  /**
   * Replaces what the client listens to. With `afterSeq` it gets what came after that batch, else
   * (or with a number not given out yet, hence from another start) the whole backlog; then
   * `caught-up`, then live batches.
   */
  subscribe(wanted: readonly { readonly zone: ZoneStream; readonly afterSeq: number | undefined }[]): void {
    this.#subscriptions.clear()
    for (const { zone, afterSeq } of wanted) {
      const resumes = afterSeq !== undefined && afterSeq <= zone.lastSeq
      const nextSeq = resumes ? Math.max(afterSeq + 1, zone.oldestSeq) : zone.backlogStart()
      this.#subscriptions.set(zone.id, { zone, state: 'catching-up', nextSeq, nextRow: zone.startRow(nextSeq) })
    }
    this.pump()
  }

  /** Ends listening to a zone that is no more. */
  forget(zoneId: string): void {
    this.#subscriptions.delete(zoneId)
    const kept = this.#missed.filter((range) => range.zone.id !== zoneId)
    this.#missed.splice(0, this.#missed.length, ...kept)
  }

  /** Queues batches to be sent again as far as they are kept, then `caught-up`. Throws EVP_TOO_MANY. */
  missed(zone: ZoneStream, fromSeq: number, toSeq: number): void {
    if (this.#missed.length >= MAX_MISSED_RANGES)
      throw new EvenpullError('EVP_TOO_MANY', `at most ${MAX_MISSED_RANGES} ranges of missed batches may wait`)
    this.#missed.push({ zone, nextSeq: fromSeq, toSeq: Math.min(toSeq, zone.lastSeq) })
    this.pump()
  }

  /** A batch was just numbered: the client gets these very bytes, or will be told that it did not. */
  live(zone: ZoneStream, batch: EncodedBatch, nowMs: number): void {
    const subscription = this.#subscriptions.get(zone.id)
    if (subscription === undefined) return
    if (subscription.state !== 'live') {
      this.pump()
      return
    }
    if (this.#full) {
      subscription.state = 'behind'
      this.#stalled(nowMs)
      return
    }
    this.#sendBatch(subscription, batch)
  }

  /** Sends what waits while the socket takes it: latest texts, envelopes, missed batches, backlog. */
  pump(): void {
    if (this.#pumping) return
    this.#pumping = true
    for (let sent = 0; this.#outlet.bufferedAmount < PUMP_BELOW_BYTES; sent++) {
      this.stalledSinceMs = null
      if (sent === PUMP_TURN_MESSAGES) {
        this.#outlet.later(() => {
          this.#pumping = false
          this.pump()
        })
        return
      }
      if (!this.#sendNext()) break
    }
    this.#pumping = false
  }

  #sendNext(): boolean {
    return this.#sendLatest() || this.#sendEnvelope() || this.#sendMissed() || this.#sendBacklog()
  }

  #sendLatest(): boolean {
    for (const [kind, bytes] of this.#latest) {
      this.#latest.delete(kind)
      this.#send(bytes, false)
      return true
    }
    return false
  }

  #sendEnvelope(): boolean {
    const subscription = this.#inState('behind')
    if (subscription === undefined) return false
    const { zone, nextSeq, nextRow } = subscription
    subscription.state = 'live'
    if (nextSeq > zone.lastSeq) return true
    const samples = zone.endRow - nextRow
    if (zone.oldestSeq <= zone.lastSeq) this.#sendBatch(subscription, zone.envelope(nextSeq, zone.lastSeq))
    this.#tellDropped(subscription, nextSeq, zone.lastSeq, samples, zone.endRow)
    return true
  }

  #sendMissed(): boolean {
    const range = this.#missed[0]
    if (range === undefined) return false
    const { zone, toSeq } = range
    range.nextSeq = Math.max(range.nextSeq, zone.oldestSeq)
    if (range.nextSeq > toSeq) {
      this.#missed.shift()
      this.control({ type: 'caught-up', zone: zone.id, seq: toSeq })
      return true
    }
    const batch = zone.chunk(range.nextSeq, toSeq)
    range.nextSeq = batch.seq + 1
    this.#send(batch.bytes, true)
    return true
  }

  #sendBacklog(): boolean {
    const subscription = this.#inState('catching-up')
    if (subscription === undefined) return false
    const { zone, nextSeq, nextRow } = subscription
    if (nextSeq < zone.oldestSeq) {
      const row = zone.startRow(zone.oldestSeq)
      this.#tellDropped(subscription, nextSeq, zone.oldestSeq - 1, row - nextRow, row)
    } else if (nextSeq <= zone.lastSeq) {
      this.#sendBatch(subscription, zone.chunk(nextSeq, zone.lastSeq))
    } else {
      subscription.state = 'live'
      this.control({ type: 'caught-up', zone: zone.id, seq: zone.lastSeq })
    }
    return true
  }

  #inState(state: SubscriptionState): Subscription | undefined {
    for (const subscription of this.#subscriptions.values()) if (subscription.state === state) return subscription
    return undefined
  }

  #tellDropped(subscription: Subscription, firstSeq: number, lastSeq: number, samples: number, nextRow: number): void {
    subscription.nextSeq = lastSeq + 1
    subscription.nextRow = nextRow
    this.control({ type: 'dropped', zone: subscription.zone.id, samples, firstSeq, lastSeq })
  }

  #sendBatch(subscription: Subscription, batch: EncodedBatch): void {
    subscription.nextSeq = batch.seq + 1
    subscription.nextRow = batch.endRow
    this.#send(batch.bytes, true)
  }

  #stalled(nowMs: number): void {
    this.stalledSinceMs ??= nowMs
  }

  #send(bytes: Uint8Array, binary: boolean): void {
    this.#outlet.send(bytes, binary, () => this.pump())
  }
}
