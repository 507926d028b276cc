import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { canonicalJson, checkChain, entryHash, headHash } from '../../lib/verification/chain.ts'
import { contextOf, recordOf, resultEntry, sha256 } from './support/made-record.ts'

const context = contextOf('install')
const record = () =>
  recordOf(context, 'A record', [
    resultEntry(context, 'fit.runout', { runout: 0.03 }),
    { kind: 'note', test: null, text: 'a note' },
    { kind: 'signature', name: 'A. Fitter' },
  ])

describe('canonicalJson', () => {
  // RFC 8785, 3.2.2 and 3.2.3: the example of sorted keys and of numbers as ECMAScript writes them.
  it.each([
    [{ b: 1, a: 2 }, '{"a":2,"b":1}'],
    [{ '€': 1, '\r': 2, '1': 3, ö: 4 }, '{"\\r":2,"1":3,"ö":4,"€":1}'],
    [
      [JSON.parse('333333333.33333329'), 1e30, 4.5, 2e-3, 0.000000000000000000000000001],
      '[333333333.3333333,1e+30,4.5,0.002,1e-27]',
    ],
    [{ a: undefined, b: [undefined, null] }, '{"b":[null,null]}'],
  ])('%j', (value, text) => {
    expect(canonicalJson(value)).toBe(text)
  })

  it('is the same for the same value, whatever the order of its keys, and reads back as it', () => {
    fc.assert(
      fc.property(fc.dictionary(fc.string(), fc.jsonValue()), (value) => {
        const turned = Object.fromEntries(Object.entries(value).reverse())
        expect(canonicalJson(turned)).toBe(canonicalJson(value))
        expect(JSON.parse(canonicalJson(value))).toEqual(JSON.parse(JSON.stringify(value)))
      }),
    )
  })

  it('knows no number that JSON does not', () => {
    expect(() => canonicalJson({ a: Number.NaN })).toThrow(RangeError)
  })
})

describe('a chain', () => {
  it('that nobody touched is whole', () => {
    expect(checkChain(record(), sha256)).toEqual([])
  })

  it('shows any leaf of any entry that was changed', () => {
    const text = JSON.stringify(record().entries)
    fc.assert(
      fc.property(fc.nat(text.length - 1), fc.constantFrom('0', '1', '7', 'x'), (at, put) => {
        if (text[at] === put) return
        let entries: unknown
        try {
          entries = JSON.parse(text.slice(0, at) + put + text.slice(at + 1))
        } catch {
          return
        }
        if (canonicalJson(entries) === canonicalJson(JSON.parse(text))) return
        expect(checkChain({ ...record(), entries: entries as never }, sha256)).not.toEqual([])
      }),
      { numRuns: 300 },
    )
  })

  it.each([
    ['an entry taken out', (entries: unknown[]) => entries.splice(1, 1)],
    ['the last one taken off', (entries: unknown[]) => entries.pop()],
    ['two exchanged', (entries: unknown[]) => entries.reverse()],
    ['one doubled', (entries: unknown[]) => entries.push(entries[2])],
  ])('shows %s', (_, change) => {
    const made = record()
    const entries = [...made.entries]
    change(entries)
    expect(checkChain({ ...made, entries }, sha256)).not.toEqual([])
  })

  it('shows an entry that was left out before anything was written, though every hash holds', () => {
    const { head, entries } = record()
    let previous = headHash(head, sha256)
    const renumbered = entries.map((entry, i) => {
      const { hash: _, ...rest } = { ...entry, seq: i < 1 ? 1 : i + 2, previous }
      previous = entryHash(rest, sha256)
      return { ...rest, hash: previous }
    })
    expect(checkChain({ head, entries: renumbered, digest: previous } as never, sha256)).toEqual([
      { seq: 3, what: expect.stringContaining('it should be 2') },
      { seq: 4, what: expect.stringContaining('it should be 3') },
    ])
  })

  it('shows a head that was changed', () => {
    const made = record()
    expect(checkChain({ ...made, head: { ...made.head, begunBy: 'Somebody Else' } }, sha256)).not.toEqual([])
  })
})
