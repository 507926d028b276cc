import { crcMatches, withCrc } from './crc16.ts'
import { answerPdu, type RegisterBank } from './pdu.ts'

/** Line settings of a serial device. */
export interface SerialLine {
  readonly baud: number
  readonly parity: 'none' | 'even' | 'odd'
  readonly stopBits: 1 | 2
}

/** Functions 01 to 06 ask with 8 bytes: address, function, two 16-bit numbers, CRC. */
const FIXED_REQUEST_BYTES = 8

/**
 * Takes complete requests off the front of what has been received so far. A request of functions
 * 01–06 ends by its length; the others by the silence after them, which the caller reports.
 * Returns the frames with a right CRC and what is left over.
 */
export function takeRequests(received: Buffer, silence: boolean): { frames: Buffer[]; rest: Buffer } {
  const frames: Buffer[] = []
  let rest = received
  while (rest.length >= FIXED_REQUEST_BYTES && (rest[1] ?? 0) >= 1 && (rest[1] ?? 0) <= 6) {
    const frame = rest.subarray(0, FIXED_REQUEST_BYTES)
    if (!crcMatches(frame)) break
    frames.push(frame)
    rest = rest.subarray(FIXED_REQUEST_BYTES)
  }
  if (!silence) return { frames, rest }
  if (crcMatches(rest)) frames.push(rest)
  return { frames, rest: Buffer.alloc(0) }
}

/** The answer to one request with a right CRC; null for another device's address and for a broadcast. */
export function answerRequest(frame: Buffer, bankOf: (unitId: number) => RegisterBank | undefined): Buffer | null {
  const unit = frame[0] ?? 0
  const bank = bankOf(unit)
  if (bank === undefined) return null
  const pdu = answerPdu(frame.subarray(1, -2), bank)
  return withCrc(Buffer.concat([Buffer.from([unit]), pdu]))
}

/** Seconds that `bytes` take on the wire: start, 8 data, parity and stop bits each. */
export function wireSeconds(line: SerialLine, bytes: number): number {
  return (bytes * (9 + (line.parity === 'none' ? 0 : 1) + line.stopBits)) / line.baud
}

/** The quiet time between frames, s: 3.5 characters, 1.75 ms above 19200 baud (Serial Line V1.02 §2.5.1.1). */
export function quietSeconds(line: SerialLine): number {
  return line.baud > 19_200 ? 0.00175 : wireSeconds(line, 3.5)
}
