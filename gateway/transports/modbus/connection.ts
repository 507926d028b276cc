import ModbusRTU from 'modbus-serial'
import type { MonotonicMs } from '../../../shared/brand.ts'
import { type ErrorCode, EvenpullError } from '../../../shared/errors.ts'
import type { TransportCounters } from '../transport.ts'
import type { ByteLink, LinkEvents } from './byte-link.ts'
import type { ExpectedReply, Framing } from './framing.ts'
import { readStrayRtu } from './framing-rtu.ts'
import { GuardedPort } from './guarded-port.ts'
import { ModbusExceptionError } from './modbus-exception.ts'
import type { OwedReplies } from './owed-replies.ts'
import type { ReplySlots } from './reply-slots.ts'
import type { TransactionIds } from './transaction-ids.ts'
import { atTime } from './wait.ts'

/** After so many requests in a row without any answer the link is taken for half-open and closed. */
const MAX_TIMEOUTS = 3
/** A disturbed RTU line is used again after this silence, and given up for now when it never comes (common practice, no source). */
const QUIET_MS = 50
const QUIET_WITHIN_MS = 1000

const NOTHING = Buffer.alloc(0)

/** One read request. */
export interface ReadRequest {
  readonly unitId: number
  readonly function: 3 | 4
  readonly address: number
  readonly count: number
}

export interface GoodReply {
  readonly words: readonly number[]
  readonly sentMs: number
  readonly receivedMs: number
}

/** What belongs to the line and outlives its connections. */
export interface LineState {
  readonly framing: Framing
  /** Silence that ends an RTU frame, ms. */
  readonly silenceMs: number
  /** A socket is closed after a framing error; a serial line is waited silent instead. */
  readonly closeOnViolation: boolean
  readonly timeoutMs: number
  readonly now: () => MonotonicMs
  readonly where: string
  readonly counters: TransportCounters
  readonly ids: TransactionIds
  readonly owed: OwedReplies
  readonly slots: ReplySlots
  readonly onBytes: ((direction: 'out' | 'in', bytes: Buffer) => void) | undefined
}

/** The one request in flight. */
interface Pending {
  readonly request: ReadRequest
  readonly transactionId: number
  sent: Buffer
  sentMs: number
  receivedMs: number
  /** RTU: a whole answer has come and waits for the silence after it; calling this drops it. */
  dropHeld: (() => void) | null
  readonly resolve: (reply: GoodReply) => void
  readonly reject: (error: EvenpullError) => void
}

/**
 * One open link with a fresh modbus-serial client: one request in flight, every answer checked to
 * the last byte before the library sees it. Ends itself when it cannot be trusted any more.
 */
export class Connection {
  readonly #line: LineState
  readonly #port = new GuardedPort((adu) => this.#transmit(adu))
  readonly #client = new ModbusRTU(this.#port)
  #link: ByteLink | null = null
  #pending: Pending | null = null
  #received: Buffer = NOTHING
  #timeouts = 0
  /** One timer, started anew with each request: cheaper than one a request. */
  #deadline: NodeJS.Timeout | null = null
  /** RTU: what is on the line is unknown until it has been silent. */
  #unquiet: boolean
  #lastActivityMs: number
  #endReason: string | null = null
  #closing: Promise<void> = Promise.resolve()
  #answered = false
  readonly #whenEnded: (connection: Connection) => void

  constructor(line: LineState, whenEnded: (connection: Connection) => void) {
    this.#line = line
    this.#whenEnded = whenEnded
    this.#unquiet = !line.framing.carriesTransactionId
    this.#lastActivityMs = line.now()
    this.#client.open()
  }

  readonly #isGivenUp = (transactionId: number) => this.#line.ids.isGivenUp(transactionId)

  readonly events: LinkEvents = {
    data: (chunk) => this.#receive(chunk),
    ended: (reason) => this.end(reason),
  }

  use(link: ByteLink): void {
    this.#link = link
    this.#lastActivityMs = this.#line.now()
  }

  /** Why it ended; null while it lives. */
  get endReason(): string | null {
    return this.#endReason
  }

  /** Resolves when what it held is free again: a serial line can be opened once only. */
  get closing(): Promise<void> {
    return this.#closing
  }

  /** Whether the device gave any right answer on this connection. */
  get answered(): boolean {
    return this.#answered
  }

  /** Ends the connection and the request in flight. Without effect on one that ended. */
  end(reason: string): void {
    if (this.#endReason !== null) return
    this.#endReason = reason
    if (this.#deadline !== null) clearTimeout(this.#deadline)
    if (this.#link !== null) this.#closing = this.#link.close()
    this.#fail('EVP_DEVICE_CLOSED', reason)
    this.#whenEnded(this)
  }

  /**
   * Resolves when the line may be used: at once, or after the silence a disturbed RTU line needs.
   * Rejects with EVP_FRAME_INVALID when the line is never silent, EVP_DEVICE_CLOSED when it ends.
   */
  async quiet(): Promise<void> {
    if (!this.#unquiet) return
    const { now, owed } = this.#line
    const giveUpMs = now() + QUIET_WITHIN_MS
    while (this.#endReason === null && now() < this.#lastActivityMs + QUIET_MS) {
      if (now() > giveUpMs) throw this.#error('EVP_FRAME_INVALID', `the line was never silent for ${QUIET_MS} ms`)
      await new Promise<void>((resolve) => atTime(this.#lastActivityMs + QUIET_MS, now, resolve))
    }
    if (this.#endReason !== null) throw this.#error('EVP_DEVICE_CLOSED', this.#endReason)
    const stray = readStrayRtu(this.#received)
    if (stray !== null) owed.settle(stray)
    this.#received = NOTHING
    this.#unquiet = false
  }

  /** Sends one request and waits for its answer. Rejects with an EvenpullError. */
  exchange(request: ReadRequest): Promise<GoodReply> {
    return new Promise((resolve, reject) => {
      if (this.#endReason !== null) {
        reject(this.#error('EVP_DEVICE_CLOSED', this.#endReason))
        return
      }
      const pending: Pending = {
        request,
        transactionId: this.#line.ids.next(),
        sent: NOTHING,
        sentMs: 0,
        receivedMs: 0,
        dropHeld: null,
        resolve,
        reject,
      }
      this.#pending = pending
      this.#ask(pending)
    })
  }

  /** Through the library, which calls back into `#transmit` and, once an answer is delivered, into `#conclude`. */
  #ask(pending: Pending): void {
    const { unitId, address, count } = pending.request
    try {
      if (pending.request.function === 3) this.#client.writeFC3(unitId, address, count, this.#conclude)
      else this.#client.writeFC4(unitId, address, count, this.#conclude)
    } catch (error) {
      this.#pending = null
      pending.reject(error instanceof EvenpullError ? error : this.#error('EVP_INTERNAL', String(error)))
    }
  }

  #transmit(adu: Buffer): void {
    const pending = this.#pending
    if (pending === null || this.#link === null) throw this.#error('EVP_INTERNAL', 'a request left without its turn')
    const { framing, owed, now, onBytes, timeoutMs } = this.#line
    pending.sent = framing.encode(adu, pending.transactionId)
    if (!framing.carriesTransactionId) owed.add(pending.request, now())
    onBytes?.('out', pending.sent)
    if (this.#deadline === null) this.#deadline = setTimeout(() => this.#timeOut(), timeoutMs)
    else this.#deadline.refresh()
    pending.sentMs = now()
    this.#lastActivityMs = pending.sentMs
    this.#link.write(pending.sent)
  }

  #receive(chunk: Buffer): void {
    const { onBytes, now } = this.#line
    onBytes?.('in', chunk)
    this.#lastActivityMs = now()
    this.#received = this.#received.length === 0 ? chunk : Buffer.concat([this.#received, chunk])
    if (this.#pending === null) this.#receiveUnasked()
    else this.#parse(this.#pending)
  }

  #parse(pending: Pending): void {
    if (pending.dropHeld !== null) {
      this.#violate('more bytes followed the answer: it cannot be told which belong to the request')
      return
    }
    const { framing } = this.#line
    const parsed = framing.parse(this.#received, expectedBy(pending), this.#isGivenUp)
    if (parsed.kind === 'partial') return
    if (parsed.kind === 'invalid') {
      this.#violate(parsed.reason)
      return
    }
    if (parsed.kind === 'late') {
      this.#dropLate(parsed.length, parsed.transactionId)
      if (this.#received.length > 0) this.#parse(pending)
      return
    }
    pending.receivedMs = this.#lastActivityMs
    if (framing.carriesTransactionId) this.#deliver(pending, parsed.adu)
    else this.#hold(pending, parsed.adu)
  }

  /** An RTU frame ends with silence, and is the only one in its time slot: see ReplySlots. */
  #hold(pending: Pending, adu: Buffer): void {
    const { silenceMs, now, slots } = this.#line
    const roundTripMs = pending.receivedMs - pending.sentMs
    const slotMs = Math.max(roundTripMs, slots.lengthMs(pending.request, roundTripMs, adu))
    pending.dropHeld = atTime(pending.sentMs + slotMs + silenceMs, now, () => {
      slots.add(pending.request, roundTripMs, adu)
      this.#deliver(pending, adu)
    })
  }

  #deliver(pending: Pending, adu: Buffer): void {
    this.#port.deliver(adu)
    if (this.#pending === pending) this.#violate('the Modbus library did not take the answer')
  }

  /** What the library made of a delivered answer: a second opinion on length, unit, function and CRC. */
  readonly #conclude = (error: Error | null, result: { data: number[] } | undefined): void => {
    const pending = this.#pending
    if (pending === null) return
    const { owed } = this.#line
    const code = exceptionCodeOf(error)
    if (code === null && (result === undefined || result.data.length !== pending.request.count)) {
      this.#violate(error?.message ?? 'the answer has another number of registers')
      return
    }
    this.#pending = null
    this.#received = NOTHING
    this.#timeouts = 0
    this.#answered = true
    if (!this.#line.framing.carriesTransactionId) {
      if (code === null) owed.settle(pending.request)
      else owed.settleException(pending.request)
    }
    if (code !== null) pending.reject(new ModbusExceptionError(code, this.#words(pending.request)))
    else pending.resolve({ words: result?.data ?? [], sentMs: pending.sentMs, receivedMs: pending.receivedMs })
  }

  /** Bytes nobody asked for: on TCP a late answer is dropped by its id, all else ends the connection. */
  #receiveUnasked(): void {
    const { framing, counters } = this.#line
    if (!framing.carriesTransactionId) {
      if (!this.#unquiet) counters.violations++
      this.#unquiet = true
      return
    }
    const parsed = framing.parse(this.#received, EXPECTED_BY_NOBODY, this.#isGivenUp)
    if (parsed.kind === 'partial') return
    if (parsed.kind !== 'late') {
      counters.violations++
      this.end('an answer came that nobody asked for')
      return
    }
    this.#dropLate(parsed.length, parsed.transactionId)
    if (this.#received.length > 0) this.#receiveUnasked()
  }

  #dropLate(length: number, transactionId: number): void {
    this.#line.counters.lateAnswers++
    this.#line.ids.settle(transactionId)
    this.#received = this.#received.subarray(length)
  }

  #violate(reason: string): void {
    this.#line.counters.violations++
    this.#unquiet = true
    this.#fail('EVP_FRAME_INVALID', reason)
    if (this.#line.closeOnViolation) this.end(`closed after a broken answer: ${reason}`)
  }

  #timeOut(): void {
    if (this.#pending === null || this.#pending.dropHeld !== null) return
    const got = this.#received.length
    const { timeoutMs } = this.#line
    if (got > 0) {
      this.#violate(`only ${got} bytes of the answer came within ${timeoutMs} ms`)
      return
    }
    this.#timeouts++
    this.#unquiet = !this.#line.framing.carriesTransactionId
    this.#fail('EVP_DEVICE_TIMEOUT', `no answer within ${timeoutMs} ms`)
    if (this.#timeouts >= MAX_TIMEOUTS) this.end(`closed after ${MAX_TIMEOUTS} requests without an answer`)
  }

  /** Gives the request in flight up; its answer may still come and must be known as late then. */
  #fail(code: ErrorCode, reason: string): void {
    const pending = this.#pending
    if (pending === null) return
    this.#pending = null
    pending.dropHeld?.()
    this.#line.ids.giveUp(pending.transactionId)
    pending.reject(this.#error(code, `${this.#words(pending.request)}: ${reason}`))
  }

  #error(code: ErrorCode, words: string): EvenpullError {
    return new EvenpullError(code, words.startsWith(this.#line.where) ? words : `${this.#line.where}: ${words}`)
  }

  #words({ unitId, function: code, address, count }: ReadRequest): string {
    return `${this.#line.where} unit ${unitId}, function ${code}, ${count} registers from ${address}`
  }
}

const EXPECTED_BY_NOBODY: ExpectedReply = { transactionId: -1, unitId: -1, function: -1, count: 0, sent: NOTHING }

function expectedBy({ request, transactionId, sent }: Pending): ExpectedReply {
  return { transactionId, unitId: request.unitId, function: request.function, count: request.count, sent }
}

/** The library puts the code of an exception answer on its error. */
function exceptionCodeOf(error: Error | null): number | null {
  return error !== null && 'modbusCode' in error && typeof error.modbusCode === 'number' ? error.modbusCode : null
}
