import type { ExpectedMessage } from '../../shared/protocol/expected.ts'
import {
  type AlarmsMessage,
  type CaughtUpMessage,
  type ClientMessage,
  type DroppedMessage,
  type HealthMessage,
  type HelloMessage,
  type NowMessage,
  serverMessage,
} from '../../shared/protocol/messages.ts'
import { decodeSampleBatch, KIND_SAMPLES, type SampleBatch } from '../../shared/protocol/sample-batch.ts'
import { SUBPROTOCOL } from '../../shared/protocol/version.ts'
import { SequenceBook, type SequenceRange } from './sequence.ts'

/** What the connection needs of a WebSocket, so that a test can hand it a false one. */
export interface SocketLike {
  binaryType: string
  onopen: (() => void) | null
  onmessage: ((event: { data: unknown }) => void) | null
  onclose: (() => void) | null
  send(text: string): void
  close(): void
}

/** Clock, timers and sockets: the browser's own, or a test's. */
export interface Surroundings {
  /** Monotonic ms. */
  now(): number
  after(ms: number, call: () => void): () => void
  openSocket(protocol: string): SocketLike
}

export type LostReason = 'closed' | 'silent' | 'not-understood'

export type Link =
  | { readonly phase: 'connecting'; readonly sinceMs: number }
  | { readonly phase: 'live'; readonly sinceMs: number }
  | { readonly phase: 'lost'; readonly sinceMs: number; readonly reason: LostReason }

export interface ConnectionEvents {
  link(link: Link): void
  /** A socket was closed by the other end or never opened: perhaps whoever uses the page is no longer let in. */
  closed?(): void
  /** `isContinued` says that rings filled before stay right: same start of the gateway, same config. */
  hello(message: HelloMessage, isContinued: boolean): void
  now(message: NowMessage): void
  health(message: HealthMessage): void
  alarms(message: AlarmsMessage): void
  expected(message: ExpectedMessage): void
  batch(zoneId: string, batch: SampleBatch): void
}

/** Without any message for this long the picture is called lost: `now` comes four times a second. */
export const SILENT_AFTER_MS = 1500
/** A socket silent for this long is given up and opened anew: a half-open line never closes by itself. */
const ABANDON_AFTER_MS = 5000
const FIRST_RETRY_MS = 250
const LONGEST_RETRY_MS = 5000
/** Patience for the answer to one request for missed batches. */
const MISSED_PATIENCE_MS = 3000
/** After this long without a further `dropped`, the client counts as fast enough to ask again. */
const RECOVERED_AFTER_MS = 2000

/** Delay before the n-th try in a row (0 is the first): 250 ms doubling to 5 s. */
export function retryDelayMs(attempt: number): number {
  return Math.min(LONGEST_RETRY_MS, FIRST_RETRY_MS * 2 ** attempt)
}

/** One lasting conversation with the gateway over however many sockets it takes. */
export class Connection {
  readonly #surroundings: Surroundings
  readonly #events: ConnectionEvents
  #socket: SocketLike | null = null
  #hello: HelloMessage | null = null
  /** The present socket has said hello: only then may anything be sent on it. */
  #isGreeted = false
  #books = new Map<string, SequenceBook>()
  #wanted: readonly string[] = []
  #link: Link
  #lastMessageMs: number
  #attempt = 0
  #stopped = false
  #cancelWatch: () => void = () => {}
  #cancelRetry: () => void = () => {}
  #cancelRecovery: () => void = () => {}
  readonly #droppedRanges = new Map<string, SequenceRange>()

  constructor(surroundings: Surroundings, events: ConnectionEvents) {
    this.#surroundings = surroundings
    this.#events = events
    this.#lastMessageMs = surroundings.now()
    this.#link = { phase: 'connecting', sinceMs: this.#lastMessageMs }
  }

  get link(): Link {
    return this.#link
  }

  start(): void {
    this.#stopped = false
    this.#open()
  }

  stop(): void {
    this.#stopped = true
    this.#cancelRetry()
    this.#cancelRecovery()
    this.#dropSocket()
    this.#setLink({ phase: 'connecting', sinceMs: this.#surroundings.now() })
  }

  /** The zones whose samples are wanted; statistics of every zone come anyway. */
  want(zoneIds: readonly string[]): void {
    if (zoneIds.length === this.#wanted.length && zoneIds.every((id) => this.#wanted.includes(id))) return
    this.#wanted = zoneIds
    this.#subscribe()
  }

  /** Looks at the clock and tries at once: for a page that comes back into view, or a network that does. */
  wake(): void {
    if (this.#stopped) return
    if (this.#socket === null) {
      this.#cancelRetry()
      this.#open()
    } else this.#check()
  }

  #check(): void {
    const silentMs = this.#surroundings.now() - this.#lastMessageMs
    if (silentMs >= ABANDON_AFTER_MS) {
      this.#lose('silent')
      this.#reopen(0)
      return
    }
    if (silentMs >= SILENT_AFTER_MS) this.#lose('silent')
    this.#watch(silentMs >= SILENT_AFTER_MS ? ABANDON_AFTER_MS - silentMs : SILENT_AFTER_MS - silentMs)
  }

  #open(): void {
    const socket = this.#surroundings.openSocket(SUBPROTOCOL)
    socket.binaryType = 'arraybuffer'
    socket.onmessage = (event) => this.#receive(event.data)
    socket.onclose = () => this.#closed()
    this.#socket = socket
    this.#isGreeted = false
    this.#lastMessageMs = this.#surroundings.now()
    this.#watch(SILENT_AFTER_MS)
  }

  #watch(ms: number): void {
    this.#cancelWatch()
    this.#cancelWatch = this.#surroundings.after(Math.max(1, ms), () => this.#check())
  }

  #dropSocket(): void {
    this.#cancelWatch()
    const socket = this.#socket
    this.#socket = null
    this.#isGreeted = false
    if (socket === null) return
    socket.onopen = null
    socket.onmessage = null
    socket.onclose = null
    socket.close()
  }

  #closed(): void {
    this.#events.closed?.()
    this.#lose('closed')
    this.#reopen(retryDelayMs(this.#attempt))
  }

  #reopen(delayMs: number): void {
    this.#dropSocket()
    if (this.#stopped) return
    this.#attempt++
    this.#cancelRetry()
    this.#cancelRetry = this.#surroundings.after(delayMs, () => this.#open())
  }

  /** The first loss dates the picture; further failures of the same absence do not make it younger. */
  #lose(reason: LostReason): void {
    if (this.#link.phase === 'lost' && this.#link.reason === reason) return
    const sinceMs = this.#link.phase === 'lost' ? this.#link.sinceMs : this.#lastMessageMs
    this.#setLink({ phase: 'lost', sinceMs, reason })
  }

  #setLink(link: Link): void {
    this.#link = link
    this.#events.link(link)
  }

  #receive(data: unknown): void {
    const now = this.#surroundings.now()
    this.#lastMessageMs = now
    this.#watch(SILENT_AFTER_MS)
    if (typeof data === 'string') this.#receiveText(data)
    else if (data instanceof ArrayBuffer) this.#receiveBatch(data)
    if (this.#isGreeted && this.#socket !== null && this.#link.phase !== 'live')
      this.#setLink({ phase: 'live', sinceMs: now })
  }

  #receiveText(text: string): void {
    const message = parseServerMessage(text)
    if (message === null) {
      this.#notUnderstood(text)
      return
    }
    switch (message.type) {
      case 'hello':
        this.#greet(message)
        break
      case 'now':
        this.#events.now(message)
        break
      case 'health':
        this.#events.health(message)
        break
      case 'alarms':
        this.#events.alarms(message)
        break
      case 'expected':
        this.#events.expected(message)
        break
      case 'caught-up':
        this.#caughtUp(message)
        break
      case 'dropped':
        this.#dropped(message)
        break
      case 'refused':
        console.warn(`The gateway refused a message: ${message.error.code} ${message.error.message}`)
        break
    }
  }

  /** A newer gateway may send what this page does not know; only a hello it cannot read ends the talk. */
  #notUnderstood(text: string): void {
    if (!text.includes('"hello"')) return
    this.#hello = null
    this.#isGreeted = false
    this.#lose('not-understood')
    this.#reopen(LONGEST_RETRY_MS)
  }

  #greet(hello: HelloMessage): void {
    const before = this.#hello
    const isContinued = before !== null && before.bootId === hello.bootId && before.revision === hello.revision
    if (!isContinued) {
      this.#books = new Map()
      this.#droppedRanges.clear()
    }
    this.#hello = hello
    this.#isGreeted = true
    this.#attempt = 0
    this.#events.hello(hello, isContinued)
    this.#subscribe()
  }

  #subscribe(): void {
    if (this.#hello === null || !this.#isGreeted) return
    const known = new Set(this.#hello.zones.zones.map((zone) => zone.id))
    const zones = this.#wanted
      .filter((id) => known.has(id))
      .map((zone) => {
        const afterSeq = this.#books.get(zone)?.resumeAfter()
        return { zone, ...(afterSeq === undefined ? {} : { afterSeq }) }
      })
    this.#send({ type: 'subscribe', zones })
  }

  #receiveBatch(buffer: ArrayBuffer): void {
    const batch = decodeSampleBatch(buffer)
    const zone = batch === null ? undefined : this.#hello?.zones.zones[batch.zone]
    if (batch === null || zone === undefined) return
    const book = this.#bookOf(zone.id)
    book.note(batch.firstSeq, batch.seq)
    this.#events.batch(zone.id, batch)
    if (batch.kind === KIND_SAMPLES && !batch.backlog) this.#askForHoles(zone.id, book)
  }

  #askForHoles(zone: string, book: SequenceBook): void {
    for (const hole of book.holesToAskFor(this.#surroundings.now(), MISSED_PATIENCE_MS)) {
      this.#send({ type: 'missed', zone, fromSeq: hole.from, toSeq: hole.to })
    }
  }

  #caughtUp(message: CaughtUpMessage): void {
    const book = this.#bookOf(message.zone)
    book.noteCaughtUp()
    this.#askForHoles(message.zone, book)
  }

  /** Asks for the full samples once this page is fast enough again: at once would make it slower still. */
  #dropped(message: DroppedMessage): void {
    const known = this.#droppedRanges.get(message.zone)
    this.#droppedRanges.set(message.zone, {
      from: Math.min(message.firstSeq, known?.from ?? message.firstSeq),
      to: Math.max(message.lastSeq, known?.to ?? message.lastSeq),
    })
    this.#cancelRecovery()
    this.#cancelRecovery = this.#surroundings.after(RECOVERED_AFTER_MS, () => this.#askForDropped())
  }

  #askForDropped(): void {
    if (!this.#isGreeted) return
    for (const [zone, { from, to }] of this.#droppedRanges) {
      this.#send({ type: 'missed', zone, fromSeq: from, toSeq: to })
    }
    this.#droppedRanges.clear()
  }

  #bookOf(zone: string): SequenceBook {
    const found = this.#books.get(zone)
    if (found !== undefined) return found
    const made = new SequenceBook()
    this.#books.set(zone, made)
    return made
  }

  #send(message: ClientMessage): void {
    this.#socket?.send(JSON.stringify(message))
  }
}

function parseServerMessage(text: string) {
  try {
    const parsed = serverMessage.safeParse(JSON.parse(text))
    return parsed.success ? parsed.data : null
  } catch {
    return null
  }
}
