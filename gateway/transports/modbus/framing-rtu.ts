import { hasCrc } from './crc16.ts'
import { type ExpectedReply, type Framing, invalid, PARTIAL, type Parsed, readHead } from './framing.ts'

/**
 * RTU frames, on a serial line or inside a TCP stream: unit, PDU, CRC low byte first, nothing
 * around them. Source: Modbus over Serial Line V1.02 §2.5.1.
 */
export const rtuFraming: Framing = {
  name: 'RTU',
  carriesTransactionId: false,
  encode: (adu) => adu,
  parse: parseRtu,
}

function parseRtu(bytes: Buffer, expected: ExpectedReply): Parsed {
  const head = readHead(bytes, 0, expected)
  if (head.kind === 'partial') return PARTIAL
  if (head.kind === 'invalid') return invalid(isEcho(bytes, expected) ? ECHO : head.reason)
  const length = head.length + 2
  if (bytes.length < length) return PARTIAL
  if (bytes.length > length) return invalid(`${bytes.length - length} bytes after the end of the frame`)
  if (!hasCrc(bytes)) return invalid('the CRC does not match')
  return { kind: head.kind, adu: bytes }
}

const ECHO = 'the line gives our own request back: switch off the local echo of the RS-485 adapter'

/** The adapter hears itself: what came begins as the request did (unit, function, address). */
function isEcho(bytes: Buffer, { sent }: ExpectedReply): boolean {
  const length = Math.min(bytes.length, sent.length)
  return length >= 3 && bytes.subarray(0, length).equals(sent.subarray(0, length))
}

/** A whole, undamaged RTU answer to a register read that nobody waits for: whose, and how many registers. */
export function readStrayRtu(bytes: Buffer): { unitId: number; function: number; count: number } | null {
  const [unitId, code, byteCount] = bytes
  if (unitId === undefined || code === undefined || byteCount === undefined) return null
  if (bytes.length !== byteCount + 5 || byteCount % 2 !== 0 || !hasCrc(bytes)) return null
  return { unitId, function: code, count: byteCount / 2 }
}
