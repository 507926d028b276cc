import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { effectiveDof } from '../../lib/statistics/effective-dof.ts'
import { type Averaging, expand, type JudgedLimit, judge, type Measured } from '../../lib/verdicts/judge.ts'
import { verdictSentence } from '../../lib/verdicts/sentence.ts'

const AVERAGING: Averaging = {
  seconds: 10,
  longestSeconds: 30,
  power: 1,
  setting: 'average_s',
  mostSettableSeconds: 600,
}
const BAND: JudgedLimit = { kind: 'band', target: 0, half: 10 }
const exact = (value: number): Measured => ({ value, uRandom: 0, dof: Number.POSITIVE_INFINITY, systematic: [] })
const random = (value: number, uRandom: number, dof = Number.POSITIVE_INFINITY): Measured => ({
  value,
  uRandom,
  dof,
  systematic: [],
})

describe('expand', () => {
  /** JCGM 100:2008 H.1.6, end gauge: four parts with their degrees of freedom give ν_eff = 16.7 (from memory, no document seen). */
  test('effective degrees of freedom of the end gauge of JCGM 100 H.1: 16.7', () => {
    const parts = [
      { u: 25, dof: 18 },
      { u: 9.7, dof: 25.6 },
      { u: 2.9, dof: 50 },
      { u: 16.6, dof: 2 },
    ]
    expect(Math.abs(effectiveDof(parts) - 16.7)).toBeLessThan(0.1)
    expect(effectiveDof([...parts, { u: 0, dof: Number.POSITIVE_INFINITY }])).toBe(effectiveDof(parts))
    expect(effectiveDof([{ u: 3, dof: Number.POSITIVE_INFINITY }])).toBe(Number.POSITIVE_INFINITY)
  })
  test('random 3 on 4 degrees of freedom with systematic 4: u 5, ν_eff = 5⁴/(3⁴/4) = 30.86, k = 2.04', () => {
    const { u, dof, k, U } = expand({ ...random(0, 3, 4), systematic: [{ name: 'gain', contribution: 4 }] })
    expect(u).toBeCloseTo(5, 12)
    expect(dof).toBeCloseTo(625 / (81 / 4), 10)
    // t(30.86) lies between 2.042 (30) and 2.040 (31) of the e-Handbook table 1.3.6.7.2.
    expect(k).toBeGreaterThan(2.0395)
    expect(k).toBeLessThan(2.0425)
    expect(U).toBeCloseTo(k * 5, 12)
  })
  test('k is 2 where ν_eff is large, and never less', () => {
    expect(expand(random(0, 1))).toMatchObject({ k: 2, dof: null, U: 2 })
    expect(expand(random(0, 1, 1000)).k).toBe(2)
    expect(expand(random(0, 1, 6)).k).toBeCloseTo(2.447, 3)
  })
})

describe('judge, within ± 10', () => {
  test.each<[string, Measured, string]>([
    ['well within', random(3, 1), 'inside'],
    ['|d| + U exactly on the limit', random(8, 1), 'inside'],
    ['well beyond', random(-15, 1), 'outside'],
    ['|d| − U exactly on the limit', random(12, 1), 'undecided'],
    ['across the limit', random(9, 1), 'undecided'],
    ['U wider than the whole band', random(0, 6), 'undecided'],
    ['exact and on the limit', exact(10), 'inside'],
    ['exact and beyond', exact(10.001), 'outside'],
    ['no number', random(Number.NaN, 1), 'unknown'],
    ['no uncertainty', random(3, Number.NaN), 'unknown'],
  ])('%s', (_, measured, state) => {
    expect(judge(measured, BAND, AVERAGING).state).toBe(state)
  })
  test('says the seconds that settle it: n grows until U = |A − |d||', () => {
    // U = 4 at 10 s, the limit is 2.5 away: (4/2.5)² = 2.56 times as long, so 15.6 s more.
    const { state, reason } = judge(random(7.5, 2), BAND, AVERAGING)
    expect(state).toBe('undecided')
    expect(reason).toEqual({ kind: 'needs-time', seconds: expect.closeTo(15.6, 9) })
    expect(verdictSentence(state, reason)).toBe('Undecided: needs about 16 s more.')
  })
  test('after those seconds the same value is inside', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.double({ min: 0.01, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        fc.constantFrom<1 | 3>(1, 3),
        (value, uRandom, systematic, power) => {
          // Closer to the limit than this, or with less room beside the systematic part, digits decide and not the rule.
          const margin = Math.abs(Math.abs(value) - 10)
          fc.pre(margin > 1e-3 && Math.abs(margin - 2 * systematic) > 1e-3)
          const averaging = { ...AVERAGING, power, longestSeconds: Number.POSITIVE_INFINITY }
          const inputs = [{ name: 'gain', contribution: systematic }]
          const now = judge({ ...random(value, uRandom), systematic: inputs }, BAND, averaging)
          if (now.reason.kind !== 'needs-time' || now.reason.seconds < 1e-4) return
          const longer = (10 + now.reason.seconds) * 1.000001
          const then = { ...random(value, uRandom * (10 / longer) ** (power / 2)), systematic: inputs }
          expect(judge(then, BAND, averaging).state).not.toBe('undecided')
          const shorter = 10 + 0.9 * now.reason.seconds
          const before = { ...random(value, uRandom * (10 / shorter) ** (power / 2)), systematic: inputs }
          expect(judge(before, BAND, averaging).state).toBe('undecided')
        },
      ),
      { numRuns: 2000 },
    )
  })
  test('no time will settle what the systematic part alone spans: the largest input is named', () => {
    const systematic = [
      { name: 'zero of the drive side', contribution: 0.4 },
      { name: 'gain of the operator side', contribution: 1.2 },
    ]
    const { state, reason } = judge({ ...random(9, 0.1), systematic }, BAND, AVERAGING)
    expect(reason).toEqual({ kind: 'no-time-will-settle', input: 'gain of the operator side' })
    expect(verdictSentence(state, reason)).toBe(
      'Undecided: no measuring time will settle this; in the way: gain of the operator side.',
    )
  })
  test('a window that cannot grow enough is named with what would do', () => {
    const { reason } = judge(random(9, 2), BAND, AVERAGING)
    expect(reason).toEqual({
      kind: 'no-time-will-settle',
      input: 'random variation within the longest window, 30 s (average_s); about 3 min would do',
    })
  })
  test('a value on its limit with nothing systematic never settles', () => {
    expect(judge(random(10, 1), BAND, AVERAGING).reason).toEqual({
      kind: 'no-time-will-settle',
      input: 'the value lies on its limit',
    })
  })
  test('mirrors with the sign of the difference and moves with the target', () => {
    const number = fc.double({ min: -30, max: 30, noNaN: true })
    fc.assert(
      fc.property(number, fc.double({ min: 0, max: 8, noNaN: true }), (d, u) => {
        const state = judge(random(d, u), BAND, AVERAGING).state
        expect(judge(random(-d, u), BAND, AVERAGING).state).toBe(state)
        expect(judge(random(4 * d, 4 * u), { kind: 'band', target: 0, half: 40 }, AVERAGING).state).toBe(state)
      }),
    )
    expect(judge(random(102, 1), { kind: 'band', target: 100, half: 5 }, AVERAGING).state).toBe('inside')
  })
})

describe('judge, between two ends or on one side', () => {
  const between: JudgedLimit = { kind: 'interval', low: 1.5, high: 3 }
  const atMost: JudgedLimit = { kind: 'interval', low: null, high: 1 }
  const atLeast: JudgedLimit = { kind: 'interval', low: 0, high: null }
  test.each<[string, Measured, JudgedLimit, string]>([
    ['wholly within', random(2.2, 0.2), between, 'inside'],
    ['wholly beyond the upper end', random(3.6, 0.2), between, 'outside'],
    ['wholly beyond the lower end', random(1, 0.2), between, 'outside'],
    ['across the lower end', random(1.6, 0.2), between, 'undecided'],
    ['under the only end', random(0.5, 0.2), atMost, 'inside'],
    ['far under the only end', random(-1e9, 0.2), atMost, 'inside'],
    ['over the only end', random(1.5, 0.2), atMost, 'outside'],
    ['on the only end', random(0.1, 0.2), atLeast, 'undecided'],
  ])('%s', (_, measured, limit, state) => {
    expect(judge(measured, limit, AVERAGING).state).toBe(state)
  })
})
