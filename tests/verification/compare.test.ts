import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { Random } from '../../lib/uncertainty/random.ts'
import { compareRecords } from '../../lib/verification/compare.ts'
import { contextOf, recordOf, resultEntry } from './support/made-record.ts'

const context = contextOf('install')
const withRunout = (value: number) =>
  recordOf(context, `Runout ${value}`, [resultEntry(context, 'fit.runout', { runout: value })])

describe('two records', () => {
  it('of which one is the other: nothing changed', () => {
    const record = withRunout(0.03)
    const { changed, unchanged, notComparable } = compareRecords(record, record)
    expect([changed, notComparable]).toEqual([[], []])
    expect(unchanged).toHaveLength(1)
  })

  it('differ by less than both uncertainties: not told apart', () => {
    // U = 2 × 0.005 mm each, together 0.0141 mm.
    const { changed, unchanged } = compareRecords(withRunout(0.03), withRunout(0.042))
    expect(changed).toEqual([])
    expect(unchanged[0]?.difference?.U).toBeCloseTo(0.01414, 5)
  })

  it('differ by more: changed, with the difference and its uncertainty', () => {
    const { changed } = compareRecords(withRunout(0.03), withRunout(0.05))
    expect(changed[0]?.sentence).toBe(
      'Runout of the shell: Runout: 0.03 before, 0.05 after mm; difference 0.02 ± 0.0141 mm.',
    )
  })

  it('answered otherwise: changed', () => {
    const answers = (free: boolean) => ({ 'free-play.drive_side': free, 'free-play.operator_side': true })
    const made = (free: boolean) => recordOf(context, 'Play', [resultEntry(context, 'fit.free-play', answers(free))])
    expect(compareRecords(made(true), made(false)).changed.map(({ sentence }) => sentence)).toEqual([
      'Free play of both cells: Free play is felt, drive side: was yes, is no.',
    ])
  })

  it('of which only one holds a test: not comparable, never unchanged', () => {
    const { notComparable, unchanged } = compareRecords(recordOf(context, 'Empty', []), withRunout(0.03))
    expect(unchanged).toEqual([])
    expect(notComparable[0]?.sentence).toContain('was not measured in the earlier record')
  })

  it('compared the other way round say the opposite difference and the same verdict', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.1, noNaN: true }),
        fc.double({ min: 0, max: 0.1, noNaN: true }),
        (a, b) => {
          const there = compareRecords(withRunout(a), withRunout(b))
          const back = compareRecords(withRunout(b), withRunout(a))
          expect(there.changed.length).toBe(back.changed.length)
          const first = [...there.changed, ...there.unchanged][0]?.difference
          const second = [...back.changed, ...back.unchanged][0]?.difference
          expect(first?.value).toBeCloseTo(-(second?.value ?? Number.NaN), 12)
        },
      ),
      { numRuns: 60 },
    )
  })

  it('that differ by their stated uncertainty alone are called changed in at most one of twenty', () => {
    const random = Random.seeded(11)
    const runs = 1000
    let called = 0
    for (let i = 0; i < runs; i += 1) {
      const a = 0.05 + 0.005 * random.normal()
      const b = 0.05 + 0.005 * random.normal()
      if (compareRecords(withRunout(a), withRunout(b)).changed.length > 0) called += 1
    }
    // 95 % of a binomial of 1000 and 0.0455 lie under 58.
    expect(called).toBeLessThan(60)
  })
})
