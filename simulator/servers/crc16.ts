/**
 * CRC of a Modbus serial frame, as the number whose low byte is sent first: polynomial 0xA001
 * (reflected 0x8005), start 0xFFFF (Modbus over Serial Line V1.02 §6.2.2).
 */
export function crc16(bytes: Uint8Array): number {
  let crc = 0xffff
  for (const byte of bytes) {
    crc ^= byte
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1
  }
  return crc
}

/** The frame with its CRC behind it. */
export function withCrc(frame: Buffer): Buffer {
  const out = Buffer.alloc(frame.length + 2)
  frame.copy(out)
  out.writeUInt16LE(crc16(frame), frame.length)
  return out
}

/** Whether the last two bytes are the CRC of those before them. */
export function crcMatches(frame: Buffer): boolean {
  return frame.length >= 4 && crc16(frame.subarray(0, -2)) === frame.readUInt16LE(frame.length - 2)
}
