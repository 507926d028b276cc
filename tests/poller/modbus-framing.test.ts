import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { ExpectedReply, Framing } from '../../gateway/transports/modbus/framing.ts'
import { readStrayRtu, rtuFraming } from '../../gateway/transports/modbus/framing-rtu.ts'
import { tcpFraming } from '../../gateway/transports/modbus/framing-tcp.ts'
import { slowCrc } from '../integration/support/misbehaving-server.ts'

const RUNS = { numRuns: 2000 }
const byte = fc.integer({ min: 0, max: 255 })
const word = fc.integer({ min: 0, max: 0xffff })
const expectedReply = fc.record({
  transactionId: word,
  unitId: byte,
  function: fc.constantFrom(3, 4),
  count: fc.integer({ min: 1, max: 125 }),
  sent: fc.constant(Buffer.alloc(0)),
})
const never = () => false

/** The one right answer, built here from the specification and not by the product. */
function rightAnswer(framing: Framing, want: ExpectedReply, pdu: readonly number[]): Buffer {
  const body = Buffer.from([want.unitId, ...pdu])
  if (framing === tcpFraming) {
    const id = want.transactionId
    return Buffer.concat([Buffer.from([id >> 8, id & 0xff, 0, 0, body.length >> 8, body.length & 0xff]), body])
  }
  const crc = slowCrc(body)
  return Buffer.concat([body, Buffer.from([crc & 0xff, crc >> 8])])
}

const registersPdu = (want: ExpectedReply, words: readonly number[]) => [
  want.function,
  2 * words.length,
  ...words.flatMap((w) => [w >> 8, w & 0xff]),
]

/** A request with the words of its answer. */
const conversation = expectedReply.chain((want) =>
  fc.tuple(fc.constant(want), fc.array(word, { minLength: want.count, maxLength: want.count })),
)

for (const framing of [tcpFraming, rtuFraming]) {
  describe(`the ${framing.name} parser`, () => {
    it('takes an exact answer, and not one byte more', () => {
      fc.assert(
        fc.property(conversation, fc.uint8Array({ minLength: 1, maxLength: 20 }), ([want, words], rest) => {
          const frame = rightAnswer(framing, want, registersPdu(want, words))
          expect(framing.parse(frame, want, never)).toMatchObject({ kind: 'reply' })
          expect(framing.parse(Buffer.concat([frame, rest]), want, never).kind).toBe('invalid')
        }),
        { numRuns: 300 },
      )
    })

    it('never throws on random bytes, and takes them only when they are the exact answer', () => {
      fc.assert(
        fc.property(expectedReply, fc.uint8Array({ maxLength: 300 }), (want, random) => {
          const bytes = Buffer.from(random)
          const parsed = framing.parse(bytes, want, never)
          if (parsed.kind !== 'reply' && parsed.kind !== 'exception') return
          const pdu = [...parsed.adu.subarray(1, -2)]
          expect(bytes).toEqual(rightAnswer(framing, want, pdu))
        }),
        RUNS,
      )
    })

    it('a right answer with any one byte changed is never taken, save for a register on TCP, which has no CRC', () => {
      fc.assert(
        fc.property(conversation, fc.nat(), fc.integer({ min: 1, max: 255 }), ([want, words], at, flip) => {
          const frame = rightAnswer(framing, want, registersPdu(want, words))
          const place = at % (framing === tcpFraming ? 9 : frame.length)
          frame.writeUInt8(frame.readUInt8(place) ^ flip, place)
          const kind = framing.parse(frame, want, never).kind
          expect(['invalid', 'partial']).toContain(kind)
        }),
        RUNS,
      )
    })

    it('waits on every beginning of a right answer, wherever the segments are cut', () => {
      fc.assert(
        fc.property(conversation, ([want, words]) => {
          const frame = rightAnswer(framing, want, registersPdu(want, words))
          for (let length = 0; length < frame.length; length++) {
            expect(framing.parse(frame.subarray(0, length), want, never).kind).toBe('partial')
          }
        }),
        { numRuns: 50 },
      )
    })

    it('an exception of any code is taken only for the function asked', () => {
      fc.assert(
        fc.property(expectedReply, byte, byte, (want, code, functionByte) => {
          const frame = rightAnswer(framing, want, [functionByte, code])
          const kind = framing.parse(frame, want, never).kind
          if (functionByte === (want.function | 0x80)) expect(kind).toBe('exception')
          else expect(['invalid', 'partial']).toContain(kind)
        }),
        RUNS,
      )
    })

    it('an answer to another unit, function, count or transaction is never taken', () => {
      fc.assert(
        fc.property(conversation, expectedReply, ([asked, words], want) => {
          const differs =
            asked.unitId !== want.unitId ||
            asked.function !== want.function ||
            asked.count !== want.count ||
            (framing === tcpFraming && asked.transactionId !== want.transactionId)
          fc.pre(differs)
          const frame = rightAnswer(framing, asked, registersPdu(asked, words))
          expect(framing.parse(frame, want, never).kind).not.toBe('reply')
        }),
        RUNS,
      )
    })
  })
}

describe('a late answer on TCP', () => {
  it('is skipped whole when its request was given up, and refused when no such request was sent', () => {
    fc.assert(
      fc.property(conversation, word, ([want, words], id) => {
        fc.pre(id !== want.transactionId)
        const late = rightAnswer(tcpFraming, { ...want, transactionId: id }, registersPdu(want, words))
        const skipped = { kind: 'late', length: late.length, transactionId: id }
        expect(tcpFraming.parse(late, want, (given) => given === id)).toEqual(skipped)
        expect(tcpFraming.parse(late.subarray(0, -1), want, (given) => given === id).kind).toBe('partial')
        expect(tcpFraming.parse(late, want, never).kind).toBe('invalid')
      }),
      { numRuns: 300 },
    )
  })
})

describe('a stray RTU answer', () => {
  it('tells unit, function and count when it is whole, and nothing otherwise; never throws', () => {
    fc.assert(
      fc.property(conversation, fc.uint8Array({ maxLength: 40 }), ([want, words], random) => {
        const frame = rightAnswer(rtuFraming, want, registersPdu(want, words))
        expect(readStrayRtu(frame)).toEqual({ unitId: want.unitId, function: want.function, count: want.count })
        expect(readStrayRtu(frame.subarray(0, -1))).toBeNull()
        readStrayRtu(Buffer.from(random))
      }),
      { numRuns: 300 },
    )
  })
})

it('two zero bytes after an RTU answer keep its CRC right, and are refused all the same', () => {
  const want = { transactionId: 0, unitId: 1, function: 4, count: 1, sent: Buffer.alloc(0) }
  const frame = rightAnswer(rtuFraming, want, registersPdu(want, [4711]))
  const longer = Buffer.concat([frame, Buffer.from([0, 0])])
  expect(slowCrc(longer.subarray(0, -2))).toBe(0)
  expect(rtuFraming.parse(frame, want, never).kind).toBe('reply')
  expect(rtuFraming.parse(longer, want, never).kind).toBe('invalid')
})

it('an echo of the request is named as such, so that a technician knows what to switch off', () => {
  const sent = Buffer.from([1, 4, 0, 16, 0, 4, 0xf1, 0xcc])
  const want = { transactionId: 0, unitId: 1, function: 4, count: 4, sent }
  expect(rtuFraming.parse(sent, want, never)).toMatchObject({
    kind: 'invalid',
    reason: expect.stringContaining('echo'),
  })
})
