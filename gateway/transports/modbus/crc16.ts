const TABLE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte
  for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xa001 : crc >>> 1
  return crc
})

/**
 * CRC-16 of a Modbus RTU frame: start 0xFFFF, polynomial 0xA001 (reflected), sent low byte first.
 * Of no bytes at all: 0xFFFF. Source: Modbus over Serial Line V1.02 §6.2.2 (02 07 gives 0x1241).
 */
export function crc16(bytes: Uint8Array): number {
  let crc = 0xffff
  for (const byte of bytes) crc = (crc >>> 8) ^ (TABLE[(crc ^ byte) & 0xff] ?? 0)
  return crc
}

/** `body` followed by its CRC, low byte first. */
export function withCrc(body: Uint8Array): Buffer {
  const frame = Buffer.allocUnsafe(body.length + 2)
  frame.set(body)
  frame.writeUInt16LE(crc16(body), body.length)
  return frame
}

/** Whether the last two bytes are the CRC of those before them. */
export function hasCrc(frame: Buffer): boolean {
  return frame.length > 2 && frame.readUInt16LE(frame.length - 2) === crc16(frame.subarray(0, -2))
}
