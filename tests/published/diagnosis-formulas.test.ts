import { describe, expect, it } from 'vitest'
import { logDensity } from '../../lib/diagnosis/density.ts'
import { expectedLogOdds, type Measurable } from '../../lib/diagnosis/distance.ts'
import { cosDeg, together, weightPart } from '../../lib/diagnosis/mechanics.ts'
import { posteriorOf } from '../../lib/diagnosis/posterior.ts'
import { CONTEXT, feature } from '../diagnosis/support/pictures.ts'

describe('an arrow off its target', () => {
  // tan²(x/2) = (1 − cos x)/(1 + cos x): Abramowitz & Stegun, 4.3.22 for the half angle (M)
  it.each([
    [5, 0.1906],
    [12, 1.1047],
    [25, 4.9148],
    [60, 33.3333],
  ])('%d° on the operator side makes a side difference of −%d %%', (angle, percent) => {
    expect(together(1, cosDeg(angle)).imbalance).toBeCloseTo(-percent, 3)
    expect(100 * Math.tan((angle * Math.PI) / 360) ** 2).toBeCloseTo(percent, 3)
  })
  // cos 2°, 5°, 10°, 60° from a table of cosines (M)
  it.each([
    [2, 0.99939],
    [5, 0.99619],
    [10, 0.98481],
    [60, 0.5],
  ])('%d° reads cos δ = %d of its force', (angle, cosine) => expect(cosDeg(angle)).toBeCloseTo(cosine, 5))
  it('feels of its weight the cosine of its angle from straight down, and none of it lying level', () => {
    expect(weightPart({ ...CONTEXT, arrowTargetDeg: 270 })).toBeCloseTo(1, 12)
    expect(weightPart({ ...CONTEXT, arrowTargetDeg: 90 })).toBeCloseTo(-1, 12)
    expect(weightPart({ ...CONTEXT, arrowTargetDeg: 0 })).toBeCloseTo(0, 12)
    expect(weightPart({ ...CONTEXT, arrowTargetDeg: 210 })).toBeCloseTo(0.5, 12)
  })
  it('leaning downstream swings an arrow that points down towards +x, and one that points up too', () => {
    // Down and upstream at 230°: 12° downstream is 242°, sin 62° from level; up and upstream at 130°: 118°.
    expect(weightPart(CONTEXT, 12)).toBeCloseTo(0.88295, 5)
    expect(weightPart({ ...CONTEXT, arrowTargetDeg: 130 }, 12)).toBeCloseTo(-0.88295, 5)
  })
})

describe('two sides together', () => {
  it('10 % more on one side is I = 0.1/2.1, and 5 % in the mean', () => {
    const { common, imbalance, half } = together(1, 1.1)
    expect(common).toBeCloseTo(5, 12)
    expect(imbalance).toBeCloseTo(100 / 21, 12)
    expect(half).toBeCloseTo(5, 12)
  })
  it('one side reversed leaves nothing of the sum', () => expect(together(1, -1).common).toBeCloseTo(-100, 12))
})

describe('densities', () => {
  // t₀.₀₂₅ with 8 degrees of freedom is 2.306 (table of Student's t, NIST/SEMATECH e-Handbook 1.3.6.7.2, M): 95 % lie within.
  it('leaves 95 % within 2.306 standard deviations', () => {
    let inside = 0
    const step = 0.001
    for (let z = -2.306 + step / 2; z < 2.306; z += step)
      inside += Math.exp(logDensity('sum-change', { value: 0.4 * z, u: 0 }, { mean: 0, sd: 0.4 })) * step * 0.4
    expect(inside).toBeCloseTo(0.95, 3)
  })
  // Jeffreys' divergence of N(0, 1) and N(d, 1) is d² (Kullback & Leibler 1951, M): half of it either way.
  it('two normal predictions d standard deviations apart give ln odds of d²/2', () => {
    const one: Measurable = { key: 'sum-change@zone', id: 'sum-change', side: null, u: 0 }
    const by = (d: number) => new Map([['sum-change@zone', [{ kind: 'add', by: 0.4 * d, sd: 0 }]]] as const)
    expect(expectedLogOdds(by(2), new Map(), [one])).toBeCloseTo(2, 12)
    expect(expectedLogOdds(by(1), by(1), [one])).toBe(0)
  })
})

describe('Bayes’ rule', () => {
  // With one answer: p' / p(healthy)' = prior odds × P(answer | cause)/P(answer | healthy).
  it('an answer multiplies the odds by its likelihood ratio', () => {
    const { all } = posteriorOf([feature('path-as-drawn', 0)], CONTEXT)
    const of = (id: string) => all.find(({ hypothesis }) => hypothesis.id === id)
    const [path, healthy] = [of('other-path'), of('healthy')]
    const held = (share: number) => 0.003 + 0.994 * share
    const ratio = (1 - held(0.03)) / (1 - held(0.99))
    const prior = (path?.hypothesis.prior ?? 0) / (healthy?.hypothesis.prior ?? 1)
    expect((path?.probability ?? 0) / (healthy?.probability ?? 1)).toBeCloseTo(prior * ratio, 9)
  })
})
