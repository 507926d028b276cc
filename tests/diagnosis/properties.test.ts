import fc from 'fast-check'
import { describe, expect, it, vi } from 'vitest'
import { diagnose, rank } from '../../lib/diagnosis/diagnose.ts'
import { FAULT_IDS } from '../../shared/faults.ts'
import { type DiagnosisFeature, diagnosis } from '../../shared/schemas/diagnosis.ts'
import { anyFeature, anyFeatures } from './support/any-features.ts'
import { CONTEXT, feature, PICTURES } from './support/pictures.ts'

vi.setConfig({ testTimeout: 120_000 })

const RUNS = { numRuns: 60, seed: 7 }

describe('a diagnosis', () => {
  it('gives probabilities that sum to 1, whatever was measured', () => {
    fc.assert(
      fc.property(anyFeatures, (features) => {
        const { ranked } = rank({ features, context: CONTEXT })
        expect(ranked.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(1, 9)
        for (const { probability } of ranked) expect(probability).toBeGreaterThanOrEqual(0)
      }),
      RUNS,
    )
  })
  it('is the same in whatever order the features come', () => {
    fc.assert(
      fc.property(anyFeatures, (features) => {
        const there = rank({ features, context: CONTEXT }).ranked
        const back = rank({ features: [...features].reverse(), context: CONTEXT }).ranked
        expect(back.map(({ hypothesis: { id, side }, probability }) => [id, side, probability])).toEqual(
          there.map(({ hypothesis: { id, side }, probability }) => [id, side, probability]),
        )
      }),
      RUNS,
    )
  })
  it('is the same twice, and has the form that is published', () => {
    for (const id of FAULT_IDS.slice(0, 8)) {
      const request = { features: [...PICTURES[id]], context: CONTEXT }
      const once = diagnose(request)
      expect(diagnose(request)).toEqual(once)
      expect(diagnosis.safeParse(once).error).toBeUndefined()
    }
  })
  it('never takes more of one feature for more than bounded evidence', () => {
    fc.assert(
      fc.property(anyFeature, (one) => {
        const { posterior } = rank({ features: [one], context: CONTEXT })
        for (const { support } of posterior.all) {
          expect(support).toBeLessThan(20)
          expect(support).toBeGreaterThan(-20)
        }
      }),
      RUNS,
    )
  })
})

describe('what is missing', () => {
  it('changes nothing for a cause that the given features do not touch: odds to a healthy install stay the prior’s', () => {
    const { posterior } = rank({ features: [feature('turn-ratio', 1, 0.003)], context: CONTEXT })
    for (const { hypothesis, support } of posterior.all)
      if (hypothesis.cause !== null && hypothesis.id !== 'idler-slipping') expect(support).toBeCloseTo(0, 12)
  })
  it('of no features at all leaves the priors, and says that there is nothing to say', () => {
    const answer = diagnose({ features: [], context: CONTEXT })
    expect(answer.state).toBe('no-data')
    for (const { probability, prior } of answer.causes) expect(probability).toBeCloseTo(prior, 12)
    expect(answer.thresholds.every(({ value }) => value === null)).toBe(true)
  })
  it('of one side is not that side’s zero: a feature of a side without its side does not count', () => {
    expect(rank({ features: [feature('hysteresis', 5, 0.1)], context: CONTEXT }).posterior.observed).toEqual([])
  })
})

/** Sizes are weighed at points: a share moves by as much with the place between two of them. */
const GRID = 0.07

describe('size', () => {
  const share = (features: readonly DiagnosisFeature[], id: string): number => {
    const { ranked } = rank({ features: [...features], context: CONTEXT })
    return ranked.filter(({ hypothesis }) => hypothesis.id === id).reduce((sum, one) => sum + one.probability, 0)
  }
  it.each([
    [
      'roller-unbalance',
      (x: number) =>
        (['drive_side', 'operator_side'] as const).flatMap((side) => [
          feature('once-per-turn', x, x / 20, side),
          feature('speed-exponent', 2, 0.2, side),
        ]),
      [0.3, 1, 3, 10],
    ],
    [
      'span-wrong',
      (x: number) => [
        feature('weight-common', x, 0.3),
        feature('slope-common', x, 1),
        feature('weight-difference', 0.1, 0.4),
      ],
      [0, 1, 3, 10, 20],
    ],
    ['idler-slipping', (x: number) => [feature('turn-ratio', 1 - x / 100, 0.003)], [0, 1, 3, 10, 40]],
    ['overloaded-cell', (x: number) => [feature('zero-step', x, 0.2, 'drive_side')], [0, 0.5, 2, 10, 40]],
  ] as const)('%s: more of it never makes it less likely', (id, picture, sizes) => {
    const shares = sizes.map((x) => share(picture(x), id))
    for (const [i, now] of shares.entries()) expect(now).toBeGreaterThanOrEqual((shares[i - 1] ?? 0) - GRID)
    expect(shares.at(-1)).toBeGreaterThan(0.5)
  })
})
