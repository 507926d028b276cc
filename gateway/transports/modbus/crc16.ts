const TABLE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xa001 : crc >>> 1
  return crc
})

/**
 * CRC-16 of a Modbus RTU frame: start 0xFFFF, polynomial 0xA001 (reflected), sent low byte first.
 * Taken over `from` up to but without `to`; of no bytes at all 0xFFFF. Source: Modbus over Serial Line V1.02 §6.2.2 (02 07 gives 0x1241).
 */
export function crc16(bytes: Uint8Array, from = 0, to = bytes.length): number {
  let crc = 0xffff
  for (let i = from; i < to; i++) crc = (crc >>> 8) ^ (TABLE[(crc ^ (bytes[i] ?? 0)) & 0xff] ?? 0)
  return crc
}

/** The bytes from `from` on, followed by their CRC, low byte first. */
export function withCrc(bytes: Buffer, from = 0): Buffer {
  const length = bytes.length - from
  const frame = Buffer.allocUnsafe(length + 2)
  bytes.copy(frame, 0, from)
  frame.writeUInt16LE(crc16(frame, 0, length), length)
  return frame
}

/** Whether the last two bytes are the CRC of those before them. */
export function hasCrc(frame: Buffer): boolean {
  const length = frame.length - 2
  return length > 0 && frame.readUInt16LE(length) === crc16(frame, 0, length)
}
