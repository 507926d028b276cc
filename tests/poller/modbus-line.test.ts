import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { backoffMs } from '../../gateway/transports/modbus/link-keeper.ts'
import { addressFor, OWED_FOR_MS, OwedReplies, type ReplyShape } from '../../gateway/transports/modbus/owed-replies.ts'
import { ReplySlots } from '../../gateway/transports/modbus/reply-slots.ts'
import { TransactionIds } from '../../gateway/transports/modbus/transaction-ids.ts'

const shape = (count: number, unitId = 1): ReplyShape => ({ unitId, function: 4, count })

describe('answers an RTU line still owes', () => {
  it('an equal request is ambiguous while its answer is owed, an unequal one is not', () => {
    const owed = new OwedReplies()
    owed.add(shape(4), 0)
    expect(owed.isAmbiguous(shape(4), 1)).toBe(true)
    expect(owed.isAmbiguous(shape(3), 1)).toBe(false)
    expect(owed.isAmbiguous(shape(4, 2), 1)).toBe(false)
  })

  it('an answer settles its request and all the unit was asked before, of no other unit', () => {
    const owed = new OwedReplies()
    owed.add(shape(4, 2), 0)
    owed.add(shape(4), 0)
    owed.add(shape(3), 0)
    owed.settle(shape(3))
    expect(owed.isAmbiguous(shape(4), 1)).toBe(false)
    expect(owed.isAmbiguous(shape(3), 1)).toBe(false)
    expect(owed.isAmbiguous(shape(4, 2), 1)).toBe(true)
  })

  it('an exception settles only the oldest request, since it may belong to that', () => {
    const owed = new OwedReplies()
    owed.add(shape(4), 0)
    owed.add(shape(3), 0)
    owed.settleException(shape(3))
    expect(owed.isAmbiguous(shape(4), 1)).toBe(false)
    expect(owed.isAmbiguous(shape(3), 1)).toBe(true)
  })

  it('an answer that fits nothing settles nothing', () => {
    const owed = new OwedReplies()
    owed.add(shape(4), 0)
    owed.settle(shape(9))
    expect(owed.isAmbiguous(shape(4), 1)).toBe(true)
  })

  it('nothing is owed for longer than half a minute', () => {
    const owed = new OwedReplies()
    owed.add(shape(4), 0)
    expect(owed.isAmbiguous(shape(4), OWED_FOR_MS)).toBe(true)
    expect(owed.isAmbiguous(shape(4), OWED_FOR_MS + 1)).toBe(false)
  })

  it('the telling count is a smaller one where there is one, and never an owed one', () => {
    const owed = new OwedReplies()
    owed.add(shape(3), 0)
    owed.add(shape(4), 0)
    expect(owed.tellingCount(shape(4))).toBe(2)
    owed.add(shape(1, 7), 0)
    expect(owed.tellingCount(shape(1, 7))).toBe(2)
  })

  it('a unit that answers in order, however late, never has an old answer taken for a new one', () => {
    // The unit answers in order after any delay or not at all; time is counted in requests.
    const fates = fc.array(fc.record({ count: fc.integer({ min: 1, max: 4 }), delay: fc.nat(4), lost: fc.boolean() }))
    fc.assert(
      fc.property(fates, (requests) => {
        const owed = new OwedReplies()
        const line: { count: number; n: number; due: number }[] = []
        let n = 0
        const ask = (count: number, delay: number, lost: boolean): number | 'none' => {
          n++
          owed.add(shape(count), 0)
          const due = Math.max(n + delay, line.at(-1)?.due ?? 0)
          if (!lost) line.push({ count, n, due })
          while (line[0] !== undefined && line[0].due <= n) {
            const answer = line.shift()
            if (answer === undefined) break
            owed.settle(shape(answer.count))
            if (answer.count === count) return answer.n
          }
          return 'none'
        }
        for (const { count, delay, lost } of requests) {
          if (owed.isAmbiguous(shape(count), 0)) {
            const telling = owed.tellingCount(shape(count))
            if (telling !== null) ask(telling, delay, lost)
          }
          if (owed.isAmbiguous(shape(count), 0)) continue
          const answered = ask(count, delay, lost)
          if (answered !== 'none') expect(answered).toBe(n)
        }
      }),
      { numRuns: 3000 },
    )
  })

  it('a telling read stays inside the register space', () => {
    expect(addressFor(65_535, 2)).toBe(65_534)
    expect(addressFor(10, 3)).toBe(10)
    expect(addressFor(65_535, 1)).toBe(65_535)
  })
})

describe('transaction ids', () => {
  it('are each used once in 65536 requests, and what was given up not at all until it is settled', () => {
    const ids = new TransactionIds(65_533)
    ids.giveUp(7)
    const round = new Set(Array.from({ length: 65_535 }, () => ids.next()))
    expect(round.size).toBe(65_535)
    expect(round.has(7)).toBe(false)
    expect(ids.isGivenUp(7)).toBe(true)
    ids.settle(7)
    expect(Array.from({ length: 65_536 }, () => ids.next())).toContain(7)
  })

  it('cannot be guessed by a device that counts on from the newest one', () => {
    const ids = new TransactionIds(0)
    let last = ids.next()
    for (let i = 0; i < 65_536; i++) {
      const next = ids.next()
      const ahead = (next - last) & 0xffff
      expect(Math.min(ahead, 0x1_0000 - ahead)).toBeGreaterThan(256)
      last = next
    }
  })

  it('a device that owes more than 1024 answers still gets new ids', () => {
    const ids = new TransactionIds(0)
    for (let i = 0; i < 200_000; i++) ids.giveUp(ids.next())
    expect(ids.next()).toBeGreaterThanOrEqual(0)
  })
})

describe('the time slot of an RTU answer', () => {
  const answer = (n: number) => Buffer.from([1, 4, 2, n >> 8, n & 0xff])
  const answered = (times: readonly number[]) => {
    const slots = new ReplySlots()
    for (const [n, ms] of times.entries()) slots.add(shape(1), ms, answer(n))
    return slots
  }

  it('is no longer than the answer took when it is the first, or a new one at the usual time', () => {
    expect(new ReplySlots().lengthMs(shape(1), 5, answer(0))).toBe(0)
    expect(answered([5, 9, 6, 7]).lengthMs(shape(1), 5, answer(99))).toBe(0)
  })

  it('is twice the longest when the answer is equal to one of the last four', () => {
    const slots = answered([5, 9, 6, 7, 5])
    for (const n of [1, 2, 3, 4]) expect(slots.lengthMs(shape(1), 6, answer(n))).toBe(18)
    expect(slots.lengthMs(shape(1), 6, answer(0))).toBe(0)
  })

  it('is twice the longest when the answer came in less than half the usual time', () => {
    expect(answered([8, 8, 8]).lengthMs(shape(1), 3.9, answer(99))).toBe(16)
    expect(answered([8, 8, 8]).lengthMs(shape(1), 4.1, answer(99))).toBe(0)
  })

  it('one hiccup counts for at most four medians, and is forgotten after 16 answers', () => {
    expect(answered([5, 5, 5, 240]).lengthMs(shape(1), 5, answer(3))).toBe(40)
    expect(answered([240, ...Array.from({ length: 16 }, () => 5)]).lengthMs(shape(1), 5, answer(16))).toBe(10)
  })

  it('another unit, function or count has a slot of its own', () => {
    expect(answered([5, 5]).lengthMs(shape(2), 1, answer(1))).toBe(0)
    expect(answered([5, 5]).lengthMs(shape(1, 2), 1, answer(1))).toBe(0)
  })
})

it('reconnecting is quick at first and never waits longer than half a second', () => {
  expect([0, 1, 2, 3, 4, 5, 6, 100].map(backoffMs)).toEqual([0, 25, 50, 100, 200, 400, 500, 500])
})
