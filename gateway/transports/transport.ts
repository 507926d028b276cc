import type { MonotonicMs } from '../../shared/brand.ts'
import type { EvenpullError } from '../../shared/errors.ts'
import type { PlannedRequest } from '../poller/types.ts'

/** One good answer. A transport rejects with an EvenpullError otherwise; it never returns a doubtful value. */
export interface TransportAnswer {
  /** Middle of request and response, and half the round trip. */
  readonly tMs: MonotonicMs
  readonly halfWidthMs: number
  /** Modbus: one 16-bit word a register. IIO: one number a channel of the request. */
  readonly words: readonly (number | null)[]
  /** Why words are null in an answer that is good otherwise (one IIO channel of several); absent when none is. */
  readonly problems?: readonly EvenpullError[]
}

/** Counters a transport keeps beside what the poller counts. */
export interface TransportCounters {
  /** Frames thrown away because they broke the protocol. */
  violations: number
  /** Answers that came after their request had been given up, and were dropped; not broken. */
  lateAnswers: number
  reconnects: number
}

/**
 * A polled field device on one physical line: one request in flight at a time, its own deadline,
 * reconnects by itself. `read` rejects with EVP_DEVICE_TIMEOUT, EVP_DEVICE_CLOSED,
 * EVP_DEVICE_UNREACHABLE, EVP_FRAME_INVALID, EVP_MODBUS_EXCEPTION (with `exceptionCode`),
 * EVP_SERIAL_OPEN, EVP_IIO_READ, or EVP_REQUEST_INVALID for a read outside the standard.
 */
export interface PolledTransport {
  readonly counters: TransportCounters
  read(request: PlannedRequest): Promise<TransportAnswer>
  close(): Promise<void>
}
