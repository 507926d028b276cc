import type { Side } from '../../shared/sample.ts'
import type { FeatureId } from '../../shared/schemas/diagnosis.ts'
import type { Expectation } from './density.ts'
import { type Effects, expectationOf, type FeatureKey } from './expectation.ts'
import { FEATURES } from './features.ts'

/** A feature that is measured, with the standard uncertainty it is measured with, on its scale. */
export interface Measurable {
  readonly key: FeatureKey
  readonly id: FeatureId
  readonly side: Side | null
  readonly u: number
}

/** No single reading tells two causes apart better than this: what an odd reading is worth (see `ODD` of the density). */
const MOST = 7.6

/**
 * How well measured features would tell two causes apart: the expected ln of the odds after one set of readings,
 * averaged over both being the true one (half of Jeffreys' divergence of normal distributions, of answers for yes or
 * no), each feature bounded by what an odd reading is worth. 0: they predict the same.
 */
export function expectedLogOdds(first: Effects, second: Effects, measurables: readonly Measurable[]): number {
  let sum = 0
  for (const { key, id, u } of measurables) {
    const [a, b] = [first.get(key), second.get(key)]
    if (a === undefined && b === undefined) continue
    sum += Math.min(MOST, ofFeature(id, u, expectationOf(id, a ?? []), expectationOf(id, b ?? [])))
  }
  return sum
}

function ofFeature(id: FeatureId, u: number, a: Expectation, b: Expectation): number {
  if (FEATURES[id].scale === 'yes-no') return ofAnswers(a.mean, b.mean)
  const [va, vb] = [a.sd ** 2 + u ** 2, b.sd ** 2 + u ** 2]
  if (va === 0 || vb === 0) return a.mean === b.mean && va === vb ? 0 : MOST
  return ((a.mean - b.mean) ** 2 * (1 / va + 1 / vb) + va / vb + vb / va - 2) / 4
}

function ofAnswers(a: number, b: number): number {
  const [p, q] = [held(a), held(b)]
  return ((p - q) * (Math.log(p / q) - Math.log((1 - p) / (1 - q)))) / 2
}

const held = (share: number): number => Math.max(0.003, Math.min(0.997, share))
