import { describe, expect, test } from 'vitest'
import { propagateExpected } from '../../lib/geometry/expected-uncertainty.ts'
import { estimate } from '../../lib/uncertainty/estimate.ts'
import { MONTE_CARLO } from '../../lib/uncertainty/monte-carlo.ts'
import { agreementLimit, agreementOf, expectedMeasure } from '../../lib/verdicts/agreement.ts'
import { AGREEMENT_LIMITS } from '../../lib/verdicts/agreement-rule.ts'
import { type Averaging, expand, judge, type Measured } from '../../lib/verdicts/judge.ts'
import { plainZone, RIGHT_ANGLE, RUNNING } from '../geometry/plain-zone.ts'

const INF = Number.POSITIVE_INFINITY
const figure = (value: number, uRandom: number, systematic: Measured['systematic'] = []): Measured => ({
  value,
  uRandom,
  dof: INF,
  systematic,
})
const AVERAGING: Averaging = {
  seconds: 30,
  longestSeconds: 30,
  power: 1,
  setting: 'average_s',
  mostSettableSeconds: 600,
}
const held = (y: Measured, x: Measured, span = 400) => agreementOf(y, x, span, AGREEMENT_LIMITS.geometry, [], AVERAGING)

describe('limit of agreement', () => {
  test('the larger of 5 % of expected and 1 % of span, with where it came from', () => {
    expect(agreementLimit(200, 400, AGREEMENT_LIMITS.geometry)).toEqual({
      target: 0,
      half: 10,
      source: 'the larger of 5 % of expected and 1 % of span; common practice, no source',
    })
    expect(agreementLimit(20, 400, AGREEMENT_LIMITS.geometry).half).toBe(4)
    expect(agreementLimit(-200, 400, AGREEMENT_LIMITS['known weight']).half).toBe(4)
    expect(agreementLimit(20, 400, AGREEMENT_LIMITS['known weight']).half).toBe(2)
  })
})

describe('measured against expected', () => {
  test('difference in N and %, E_n of the expanded uncertainties', () => {
    const told = held(figure(206, 0.5), figure(200, 0, [{ name: 'wrap', contribution: 1.5 }]))
    expect(told.difference).toBe(6)
    expect(told.percent).toBeCloseTo(3, 12)
    expect(told.en).toBeCloseTo(6 / Math.hypot(1, 3), 12)
    // U of the difference is 2·√(0.5² + 1.5²) = 3.16: 6 + 3.16 < 10.
    expect(told.judgement.U).toBeCloseTo(2 * Math.hypot(0.5, 1.5), 12)
    expect(told.judgement.state).toBe('inside')
  })
  test('E_n never decides: over 1 inside the limit, under 1 outside it', () => {
    const sharp = held(figure(206, 0.1), figure(200, 0.1))
    expect(Math.abs(sharp.en)).toBeGreaterThan(1)
    expect(sharp.judgement.state).toBe('inside')
    const blunt = held(figure(240, 0), figure(200, 0, [{ name: 'wrap', contribution: 14 }]))
    expect(blunt.en).toBeGreaterThan(1)
    expect(blunt.judgement.state).toBe('outside')
    const blunter = held(figure(215, 0), figure(200, 0, [{ name: 'wrap', contribution: 14 }]))
    expect(blunter.en).toBeLessThan(1)
    expect(blunter.judgement.state).toBe('undecided')
    expect(blunter.judgement.reason).toEqual({ kind: 'no-time-will-settle', input: 'wrap' })
  })
  test('an input common to both counts once, with the difference of its effects', () => {
    const y = figure(204, 0, [
      { name: 'tension', contribution: 4 },
      { name: 'gain', contribution: 1 },
    ])
    const x = figure(200, 0, [{ name: 'tension', contribution: 3.8 }])
    expect(held(y, x).judgement.u).toBeCloseTo(Math.hypot(0.2, 1), 12)
  })
  test('nothing expected has no percentage; no number is unknown', () => {
    expect(held(figure(1, 0.1), figure(0, 0.1)).percent).toBeNaN()
    expect(held(figure(Number.NaN, 0.1), figure(200, 0.1)).judgement.state).toBe('unknown')
  })
  test('scatter of few degrees widens the interval: t₉₅ of 4 is 2.776', () => {
    const told = agreementOf(
      { ...figure(200, 1), dof: 4 },
      figure(200, 0),
      400,
      AGREEMENT_LIMITS.geometry,
      [],
      AVERAGING,
    )
    expect(told.judgement.k).toBeCloseTo(2.776, 3)
  })
  test('an expectation brings its budget: the largest input is named', () => {
    const request = { geometry: plainZone(RIGHT_ANGLE), state: RUNNING, given: {}, correlations: [] }
    const expected = propagateExpected(request)
    const x = expectedMeasure(expected.webForce)
    expect(expand(x).u).toBeCloseTo(expected.webForce.u, 9)
    const y = figure(expected.webForce.value * 1.05, 0.2)
    expect(held(y, x, 424).judgement.reason).toEqual({ kind: 'no-time-will-settle', input: 'tension' })
  })
  test('where the Monte Carlo took over, its value and U count', () => {
    const inputs = [
      { name: 'a', unit: '1', value: 0.3, u: 0.5 },
      { name: 'b', unit: '1', value: 0, u: 0.5 },
    ]
    const [bent] = estimate(([a = 0, b = 0]) => [100 + a * a + b * b], inputs, [], MONTE_CARLO)
    if (bent === undefined) throw new Error('one output')
    expect(bent.method).toBe('monte-carlo')
    const x = expectedMeasure(bent)
    expect(x.value).toBe(bent.value)
    expect(expand(x).U).toBeCloseTo(bent.U, 9)
  })
})

describe('the rule of judgement beside correlations and without time', () => {
  const parts = [
    { name: 'arrow, drive side', contribution: 3 },
    { name: 'arrow, operator side', contribution: -4 },
  ]
  test('correlated systematic parts: u² = 3² + 4² − 2·r·3·4', () => {
    const measured = (r: number): Measured => ({
      ...figure(0, 0, parts),
      correlations: [{ between: ['arrow, drive side', 'arrow, operator side'], r }],
    })
    expect(expand(measured(0)).u).toBeCloseTo(5, 12)
    expect(expand(measured(1)).u).toBeCloseTo(1, 12)
    expect(expand(measured(-1)).u).toBeCloseTo(7, 12)
    expect(expand(measured(0.5)).u).toBeCloseTo(Math.sqrt(13), 12)
  })
  test('degrees of freedom of a systematic part count: ν_eff = 5⁴/(4⁴/8)', () => {
    const told = expand(figure(0, 3, [{ name: 'gain', contribution: 4, dof: 8 }]))
    expect(told.dof).toBeCloseTo(625 / (256 / 8), 9)
  })
  test('a correlation that shrinks the systematic part lets time settle it', () => {
    const wide = figure(8, 1, parts)
    const limit = { kind: 'band', target: 0, half: 12 } as const
    const averaging = { ...AVERAGING, longestSeconds: 600 }
    expect(judge(wide, limit, averaging).reason.kind).toBe('no-time-will-settle')
    const bound = { ...wide, correlations: [{ between: ['arrow, drive side', 'arrow, operator side'] as const, r: 1 }] }
    expect(judge(bound, { ...limit, half: 10.5 }, averaging).reason.kind).toBe('needs-time')
  })
  test('one reading has no time to wait for: the largest cause is named', () => {
    const limit = { kind: 'interval', low: 1.5e-3, high: 3e-3 } as const
    const gauge = { name: 'gauge', contribution: 0.2e-3 }
    expect(judge(figure(1.6e-3, 0, [gauge]), limit, null).reason).toEqual({
      kind: 'no-time-will-settle',
      input: 'gauge',
    })
    expect(judge(figure(1.6e-3, 0.3e-3, [gauge]), limit, null).reason).toEqual({
      kind: 'no-time-will-settle',
      input: 'scatter of the reading',
    })
    expect(judge(figure(2.2e-3, 0, [gauge]), limit, null).state).toBe('inside')
  })
})
