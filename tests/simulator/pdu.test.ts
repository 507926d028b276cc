import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { crc16, crcMatches, withCrc } from '../../simulator/servers/crc16.ts'
import { answerPdu, type RegisterBank } from '../../simulator/servers/pdu.ts'
import { answerRequest, quietSeconds, takeRequests, wireSeconds } from '../../simulator/servers/rtu-frame.ts'

const hex = (text: string) => Buffer.from(text.replaceAll(' ', ''), 'hex')
/** 200 registers in each table; register n holds n, except where a published example says otherwise. */
const published: Readonly<Record<number, number>> = { 107: 0x022b, 108: 0, 109: 0x0064, 8: 0x000a }
const bank: RegisterBank = {
  read: (_, address, count) =>
    address + count > 200 ? null : Array.from({ length: count }, (_, i) => published[address + i] ?? address + i),
}

describe('Modbus requests', () => {
  // Modbus Application Protocol V1.1b3 §6.3 and §6.4, worked examples (V).
  it.each([
    ['03 00 6B 00 03', '03 06 02 2B 00 00 00 64'],
    ['04 00 08 00 01', '04 02 00 0A'],
  ])('%s is answered %s', (request, answer) => {
    expect(answerPdu(hex(request), bank)).toEqual(hex(answer))
  })

  // Exception codes and their order: same document, §6.3, §6.4 (quantity 1–125 before address) and §7 (V).
  it.each([
    ['04 00 C8 00 01', '84 02', 'an address it does not have'],
    ['03 00 C7 00 02', '83 02', 'a range that runs out of its registers'],
    ['04 00 00 00 00', '84 03', 'a quantity of 0'],
    ['04 00 00 00 7E', '84 03', 'a quantity of 126'],
    ['04 FF FF 00 7E', '84 03', 'a wrong quantity comes before a wrong address'],
    ['04 00 00', '84 03', 'a request cut short'],
    ['06 00 01 00 03', '86 01', 'writing one register'],
    ['10 00 01 00 01 02 00 03', '90 01', 'writing several registers'],
    ['05 00 AC FF 00', '85 01', 'writing a coil'],
    ['0F 00 13 00 0A 02 CD 01', '8F 01', 'writing several coils'],
    ['01 04 A1 00 01', '81 01', 'reading coils: it has none'],
    ['2B 0E 01 00', 'AB 01', 'any other function'],
  ])('%s → %s: %s', (request, answer) => {
    expect(answerPdu(hex(request), bank)).toEqual(hex(answer))
  })

  it('whatever is asked, the answer is the asked registers or an exception, never longer than a PDU may be', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 253 }), (bytes) => {
        const answer = answerPdu(Buffer.from(bytes), bank)
        expect(answer.length).toBeLessThanOrEqual(253)
        const read = bytes[0] === 3 || bytes[0] === 4
        if (!read) expect(answer).toEqual(Buffer.from([((bytes[0] ?? 0) | 0x80) & 0xff, 1]))
      }),
    )
  })
})

describe('Modbus serial frames', () => {
  // Modbus over Serial Line V1.02 §6.2.2: the message 02 07 has CRC 0x1241, sent 41 12 (V).
  it('CRC as in the specification', () => {
    expect(crc16(hex('02 07'))).toBe(0x1241)
    expect(withCrc(hex('02 07'))).toEqual(hex('02 07 41 12'))
  })

  const request = withCrc(hex('01 04 00 08 00 01'))
  const write = withCrc(hex('01 10 00 01 00 01 02 00 03'))

  it('a request is taken however it is cut into pieces', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 8 }), (cut) => {
        const first = takeRequests(request.subarray(0, cut), false)
        const second = takeRequests(Buffer.concat([first.rest, request.subarray(cut)]), false)
        expect([...first.frames, ...second.frames]).toEqual([request])
      }),
    )
  })

  it('noise is thrown away at the next silence, and what follows is understood', () => {
    expect(takeRequests(hex('FF 00 17'), true)).toEqual({ frames: [], rest: Buffer.alloc(0) })
    expect(takeRequests(request, false).frames).toEqual([request])
  })

  it('a request of unknown length ends at the silence and is refused', () => {
    expect(takeRequests(write, false).frames).toEqual([])
    const { frames } = takeRequests(write, true)
    expect(frames).toEqual([write])
    const answer = answerRequest(write, () => bank)
    expect(answer).toEqual(withCrc(hex('01 90 01')))
  })

  it('another device’s request and a broadcast are not answered', () => {
    const only = (unit: number) => (unit === 1 ? bank : undefined)
    expect(answerRequest(request, only)).toEqual(withCrc(hex('01 04 02 00 0A')))
    expect(answerRequest(withCrc(hex('02 04 00 08 00 01')), only)).toBeNull()
    expect(answerRequest(withCrc(hex('00 06 00 08 00 01')), only)).toBeNull()
  })

  it('one wrong bit anywhere is noticed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 63 }), (bit) => {
        const broken = Buffer.from(request)
        broken[bit >> 3] = (broken[bit >> 3] ?? 0) ^ (1 << (bit & 7))
        expect(crcMatches(broken)).toBe(false)
      }),
    )
  })

  // Serial Line V1.02 §2.5.1: 11 bits a character with parity; 3.5 characters between frames, 1.75 ms above 19200 (V).
  it('keeps the times of the wire', () => {
    const line = { baud: 9600, parity: 'even', stopBits: 1 } as const
    expect(wireSeconds(line, 8)).toBeCloseTo(88 / 9600, 12)
    expect(wireSeconds({ ...line, parity: 'none', stopBits: 2 }, 8)).toBeCloseTo(88 / 9600, 12)
    expect(quietSeconds(line)).toBeCloseTo(38.5 / 9600, 12)
    expect(quietSeconds({ ...line, baud: 115_200 })).toBe(0.00175)
  })
})
