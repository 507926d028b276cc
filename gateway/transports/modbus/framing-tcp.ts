import { withCrc } from './crc16.ts'
import {
  EXCEPTION_LENGTH,
  type ExpectedReply,
  type Framing,
  invalid,
  PARTIAL,
  type Parsed,
  readHead,
  replyLength,
} from './framing.ts'

/** Transaction id, protocol id, length: what stands before unit and PDU. */
const PREFIX_LENGTH = 6
/** Unit and a PDU of at most 253 bytes. */
const MAX_LENGTH_FIELD = 254

/**
 * Modbus TCP: the MBAP header (transaction id, protocol id 0, length) before unit and PDU, no CRC.
 * Source: Modbus Messaging on TCP/IP Implementation Guide V1.0b §3.1.3.
 */
export const tcpFraming: Framing = {
  name: 'TCP',
  carriesTransactionId: true,
  encode: encodeTcp,
  parse: parseTcp,
}

function encodeTcp(adu: Buffer, transactionId: number): Buffer {
  const length = adu.length - 2
  const frame = Buffer.allocUnsafe(PREFIX_LENGTH + length)
  frame.writeUInt16BE(transactionId, 0)
  frame.writeUInt16BE(0, 2)
  frame.writeUInt16BE(length, 4)
  adu.copy(frame, PREFIX_LENGTH, 0, length)
  return frame
}

function parseTcp(bytes: Buffer, expected: ExpectedReply, givenUp: (transactionId: number) => boolean): Parsed {
  if (bytes.length < 4) return PARTIAL
  const protocol = bytes.readUInt16BE(2)
  if (protocol !== 0) return invalid(`protocol id ${protocol}, expected 0`)
  if (bytes.length < PREFIX_LENGTH) return PARTIAL
  const length = bytes.readUInt16BE(4)
  if (length < EXCEPTION_LENGTH || length > MAX_LENGTH_FIELD) return invalid(`length field ${length}, impossible`)
  const transactionId = bytes.readUInt16BE(0)
  if (transactionId === expected.transactionId) return parseOwn(bytes, expected, length)
  if (!givenUp(transactionId)) {
    return invalid(`transaction ${transactionId} was answered, expected ${expected.transactionId}`)
  }
  return bytes.length < PREFIX_LENGTH + length
    ? PARTIAL
    : { kind: 'late', length: PREFIX_LENGTH + length, transactionId }
}

function parseOwn(bytes: Buffer, expected: ExpectedReply, length: number): Parsed {
  if (length !== EXCEPTION_LENGTH && length !== replyLength(expected.count)) {
    return invalid(`length field ${length}, expected ${replyLength(expected.count)}`)
  }
  const head = readHead(bytes, PREFIX_LENGTH, expected)
  if (head.kind === 'partial') return PARTIAL
  if (head.kind === 'invalid') return invalid(head.reason)
  if (head.length !== length) return invalid(`length field ${length}, but unit and PDU are ${head.length} bytes`)
  const total = PREFIX_LENGTH + length
  if (bytes.length < total) return PARTIAL
  if (bytes.length > total) return invalid(`${bytes.length - total} bytes after the end of the frame`)
  return { kind: head.kind, adu: withCrc(bytes, PREFIX_LENGTH) }
}
