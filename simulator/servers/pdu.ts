import type { RegisterTable } from './personalities.ts'

/** What a server needs of a device. */
export interface RegisterBank {
  /** Registers of one instant, or null where the device has none. */
  read(table: RegisterTable, address: number, count: number): readonly number[] | null
}

/** Exception codes, Modbus Application Protocol V1.1b3 §7. */
export const EXCEPTION = {
  illegalFunction: 1,
  illegalAddress: 2,
  illegalValue: 3,
  gatewayTargetSilent: 11,
} as const

/** §6.3 and §6.4: at most 125 registers in one answer. */
const MOST_REGISTERS = 125
const TABLE_OF: Readonly<Record<number, RegisterTable>> = { 3: 'holding', 4: 'input' }

/**
 * Answers one request (function code and data, without address and checksum). Functions 03 and 04
 * read; everything else, every write among it, is refused with exception 01. The order of the
 * checks is that of the state diagrams in §6.3 and §6.4: function, quantity, address.
 */
export function answerPdu(request: Buffer, bank: RegisterBank): Buffer {
  const code = request[0] ?? 0
  const table = TABLE_OF[code]
  if (table === undefined) return exceptionPdu(code, EXCEPTION.illegalFunction)
  if (request.length !== 5) return exceptionPdu(code, EXCEPTION.illegalValue)
  const address = request.readUInt16BE(1)
  const count = request.readUInt16BE(3)
  if (count < 1 || count > MOST_REGISTERS) return exceptionPdu(code, EXCEPTION.illegalValue)
  const words = bank.read(table, address, count)
  if (words === null) return exceptionPdu(code, EXCEPTION.illegalAddress)
  const answer = Buffer.alloc(2 + 2 * count)
  answer[0] = code
  answer[1] = 2 * count
  words.forEach((word, i) => {
    answer.writeUInt16BE(word, 2 + 2 * i)
  })
  return answer
}

export function exceptionPdu(code: number, exception: number): Buffer {
  return Buffer.from([(code | 0x80) & 0xff, exception])
}
