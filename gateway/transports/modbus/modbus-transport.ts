import { type MonotonicMs, monotonicMs } from '../../../shared/brand.ts'
import { EvenpullError } from '../../../shared/errors.ts'
import type { ModbusDeviceConfig } from '../../../shared/schemas/config.ts'
import { readMonotonic } from '../../clock.ts'
import type { PlannedRequest } from '../../poller/types.ts'
import type { PolledTransport, TransportAnswer, TransportCounters } from '../transport.ts'
import type { OpenLink } from './byte-link.ts'
import type { Connection, GoodReply, LineState, ReadRequest } from './connection.ts'
import { rtuFraming } from './framing-rtu.ts'
import { tcpFraming } from './framing-tcp.ts'
import { LinkKeeper } from './link-keeper.ts'
import { ModbusExceptionError } from './modbus-exception.ts'
import { addressFor, OwedReplies } from './owed-replies.ts'
import { ReplySlots } from './reply-slots.ts'
import { openSerialLink } from './serial-link.ts'
import { silenceMs } from './silence.ts'
import { openTcpLink } from './tcp-link.ts'
import { TransactionIds } from './transaction-ids.ts'

const MAX_REGISTERS = 125
const REGISTER_COUNT = 65_536

export interface ModbusTransportOptions {
  /** Sees every byte that leaves and arrives, as it is on the wire. */
  onBytes?(direction: 'out' | 'in', bytes: Buffer): void
  /** Monotonic clock that dates the samples. */
  now?(): MonotonicMs
}

/**
 * A Modbus device (TCP, RTU or RTU over TCP) that is only ever read. Opens its link with the first
 * read and keeps it open until `close`. `read` takes any number of calls at a time and sends them
 * one by one. Rejections are listed at PolledTransport; a request that cannot be one (function,
 * address or count outside the standard) is EVP_REQUEST_INVALID.
 */
export function createModbusTransport(
  device: ModbusDeviceConfig,
  options: ModbusTransportOptions = {},
): PolledTransport {
  return new ModbusTransport(device, options)
}

interface Job {
  readonly request: ReadRequest
  readonly askedMs: number
  readonly resolve: (answer: TransportAnswer) => void
  readonly reject: (error: EvenpullError) => void
}

class ModbusTransport implements PolledTransport {
  readonly counters: TransportCounters = { violations: 0, lateAnswers: 0, reconnects: 0 }
  readonly #line: LineState
  readonly #keeper: LinkKeeper
  #queue: Job[] = []
  #serving: Promise<void> | null = null
  #closed = false
  /** When the link was first found missing by a read; null while it is there. */
  #missingSinceMs: number | null = null

  constructor(device: ModbusDeviceConfig, options: ModbusTransportOptions) {
    this.#line = {
      framing: device.transport === 'modbus-tcp' ? tcpFraming : rtuFraming,
      silenceMs: silenceMs(device),
      closeOnViolation: device.transport !== 'modbus-rtu',
      timeoutMs: device.timeout_ms,
      now: options.now ?? readMonotonic,
      where: device.transport === 'modbus-rtu' ? device.path : `${device.host}:${device.port}`,
      counters: this.counters,
      ids: new TransactionIds(0),
      owed: new OwedReplies(),
      slots: new ReplySlots(),
      onBytes: options.onBytes,
    }
    this.#keeper = new LinkKeeper(this.#line, opener(device))
  }

  read(planned: PlannedRequest): Promise<TransportAnswer> {
    return new Promise((resolve, reject) => {
      if (this.#closed) throw this.#closedError()
      this.#queue.push({ request: checkRequest(planned), askedMs: this.#line.now(), resolve, reject })
      this.#serving ??= this.#serve()
    })
  }

  async close(): Promise<void> {
    this.#closed = true
    for (const job of this.#queue.splice(0)) job.reject(this.#closedError())
    await this.#keeper.stop()
    await this.#serving
  }

  async #serve(): Promise<void> {
    for (let job = this.#queue.shift(); job !== undefined; job = this.#queue.shift()) {
      try {
        job.resolve(answerFrom(await this.#readOnce(job)))
      } catch (error) {
        job.reject(error instanceof EvenpullError ? error : new EvenpullError('EVP_INTERNAL', String(error)))
      }
    }
    this.#serving = null
  }

  #readOnce(job: Job): Promise<GoodReply> {
    const present = this.#keeper.connection
    if (present === null || !this.#line.framing.carriesTransactionId) return this.#readPrepared(job, present)
    this.#missingSinceMs = null
    return present.exchange(job.request)
  }

  /** Waits for the link where it is missing, and for an RTU line that can be trusted. */
  async #readPrepared(job: Job, present: Connection | null): Promise<GoodReply> {
    const connection = present ?? (await this.#connected(job))
    if (present !== null) this.#missingSinceMs = null
    await connection.quiet()
    if (!this.#line.framing.carriesTransactionId) await this.#settleOwed(connection, job.request)
    return connection.exchange(job.request)
  }

  /** Waits for the link as long as for an answer, counted once for all reads that find it missing. */
  #connected(job: Job): Promise<Connection> {
    this.#missingSinceMs ??= this.#line.now()
    return this.#keeper.next(Math.max(this.#missingSinceMs, job.askedMs) + this.#line.timeoutMs)
  }

  /**
   * RTU: while the answer to an equal request given up before may still come, reads another count
   * first. Rejects as `read` does; an exception to the telling read is as good as an answer.
   */
  async #settleOwed(connection: Connection, request: ReadRequest): Promise<void> {
    const { owed, now, where } = this.#line
    if (!owed.isAmbiguous(request, now())) return
    const count = owed.tellingCount(request)
    if (count !== null) {
      const telling = { ...request, count, address: addressFor(request.address, count) }
      await connection.exchange(telling).catch((error: unknown) => {
        if (!(error instanceof ModbusExceptionError)) throw error
      })
      await connection.quiet()
    }
    if (!owed.isAmbiguous(request, now())) return
    throw new EvenpullError('EVP_FRAME_INVALID', `${where}: late answers cannot yet be told from right ones`)
  }

  #closedError(): EvenpullError {
    return new EvenpullError('EVP_DEVICE_CLOSED', `${this.#line.where}: the gateway stopped reading it`)
  }
}

function opener(device: ModbusDeviceConfig): OpenLink {
  return (events, signal) =>
    device.transport === 'modbus-rtu'
      ? openSerialLink(device, events, signal)
      : openTcpLink({ host: device.host, port: device.port }, events, signal)
}

/** Dates an answer to the middle of request and response. */
function answerFrom({ words, sentMs, receivedMs }: GoodReply): TransportAnswer {
  return { words, tMs: monotonicMs((sentMs + receivedMs) / 2), halfWidthMs: (receivedMs - sentMs) / 2 }
}

/** Throws EVP_REQUEST_INVALID. Limits: Modbus Application Protocol V1.1b3 §6.3 and §6.4. */
function checkRequest(planned: PlannedRequest): ReadRequest {
  const { unitId, function: code, address, count } = planned
  if (
    (code === 3 || code === 4) &&
    isWhole(unitId, 0, 255) &&
    isWhole(count, 1, MAX_REGISTERS) &&
    isWhole(address, 0, REGISTER_COUNT - count)
  ) {
    return { unitId, function: code, address, count }
  }
  const found = `unit ${unitId}, function ${code}, address ${address}, count ${count}`
  throw new EvenpullError('EVP_REQUEST_INVALID', `no Modbus read: ${found}`)
}

function isWhole(value: number | null, from: number, to: number): value is number {
  return value !== null && Number.isInteger(value) && value >= from && value <= to
}
