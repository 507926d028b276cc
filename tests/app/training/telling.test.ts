import { describe, expect, it } from 'vitest'
import { doneThenCheapest, plainestFirst, plainness } from '../../../app/training/_model/telling.ts'
import type { ComparedReading, ToldTest } from '../../../shared/schemas/training.ts'

const reading = (part: Partial<ComparedReading>): ComparedReading => ({
  figure: 'signal',
  side: null,
  unit: 'N',
  found: 10,
  sound: 10,
  u: 1,
  differs: false,
  ...part,
})
const test = (id: string, seconds: number | null, deeds: number[] = []): ToldTest => ({
  id,
  title: id,
  zone: 'infeed',
  deeds,
  verdict: 'told',
  reason: null,
  seconds,
  readings: [],
})

describe('what tells most', () => {
  it('of a test is the reading that differs by most of its own uncertainty; what is seen to be another comes first', () => {
    const small = reading({ figure: 'small', found: 13, differs: true })
    const sharp = reading({ figure: 'sharp', found: 10.5, u: 0.1, differs: true })
    const seen = reading({ figure: 'seen', found: false, sound: true, unit: null, u: null, differs: true })
    const same = reading({ figure: 'same', found: 11 })
    expect(plainestFirst([same, small, sharp, seen]).map(({ figure }) => figure)).toEqual([
      'seen',
      'sharp',
      'small',
      'same',
    ])
    expect(plainness(same), 'within its U it tells nothing').toBe(0)
  })

  it('of the tests are those that were done, then the cheapest, one of unknown cost last', () => {
    const tests = [test('dear', 900), test('unknown', null), test('done', 1200, [3]), test('cheap', 60)]
    expect(doneThenCheapest(tests).map(({ id }) => id)).toEqual(['done', 'cheap', 'dear', 'unknown'])
  })
})
