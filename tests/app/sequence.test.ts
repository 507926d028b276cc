import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { SequenceBook } from '../../app/_stream/sequence.ts'

describe('SequenceBook', () => {
  it('knows exactly the numbers missing between the first and the last, in whatever order they came', () => {
    const numbers = fc.uniqueArray(fc.integer({ min: 1, max: 60 }), { minLength: 1 })
    fc.assert(
      fc.property(numbers, (received) => {
        const book = new SequenceBook()
        for (const n of received) book.note(n, n)
        const missing: number[] = []
        for (let n = Math.min(...received); n < Math.max(...received); n++) if (!received.includes(n)) missing.push(n)
        const told = book.holes().flatMap(({ from, to }) => Array.from({ length: to - from + 1 }, (_, i) => from + i))
        expect(told).toEqual(missing)
      }),
    )
  })

  it('resumes after the last number before the first hole, and not before it has caught up', () => {
    const book = new SequenceBook()
    book.note(1, 5)
    book.note(9, 9)
    expect(book.resumeAfter()).toBeUndefined()
    book.noteCaughtUp()
    expect(book.resumeAfter()).toBe(5)
    book.note(6, 8)
    expect(book.resumeAfter()).toBe(9)
  })

  it('takes no notice of a range that ends before it begins', () => {
    const book = new SequenceBook()
    book.note(5, 4)
    book.noteCaughtUp()
    expect(book.resumeAfter()).toBeUndefined()
  })
})
