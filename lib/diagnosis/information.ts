import { densityOf, type Reading } from './density.ts'
import type { Measurable } from './distance.ts'
import { type Effects, expectationOf } from './expectation.ts'
import { FEATURES } from './features.ts'

/** Something that may be so, with a few sizes that stand for all it can have; their weights sum to 1. */
export interface Candidate {
  readonly probability: number
  readonly sizes: readonly { readonly effects: Effects; readonly weight: number }[]
}

/** Readings at the mean and √3 of a standard deviation either way: three-point Gauss–Hermite quadrature. */
const SCATTER = [
  { z: 0, weight: 2 / 3 },
  { z: Math.sqrt(3), weight: 1 / 6 },
  { z: -Math.sqrt(3), weight: 1 / 6 },
] as const

/**
 * Mutual information between which candidate it is and the readings of these features, bits, by a fixed quadrature (no
 * randomness): Σ_candidate p Σ_readings q log₂(p(candidate | readings)/p(candidate)), never under 0.
 */
export function information(candidates: readonly Candidate[], asked: readonly Measurable[]): number {
  const touching = candidates.filter(({ sizes }) =>
    sizes.some(({ effects }) => asked.some(({ key }) => effects.has(key))),
  )
  const others = candidates.filter((one) => !touching.includes(one)).reduce((sum, one) => sum + one.probability, 0)
  const rest: Candidate = { probability: others, sizes: [{ effects: new Map(), weight: 1 }] }
  const told = others > 0 ? [rest, ...touching] : touching
  const total = told.reduce((sum, { probability }) => sum + probability, 0)
  let bits = 0
  for (const [i, { probability, sizes }] of told.entries())
    for (const { effects, weight } of sizes)
      for (const scatter of SCATTER) {
        const readings = asked.map((one, n) => readingAt(one, effects, n % 2 === 0 ? scatter.z : -scatter.z))
        bits += (probability / total) * weight * scatter.weight * gainOfTruth(told, i, asked, readings, total)
      }
  return Math.max(0, bits)
}

function readingAt({ id, key, u }: Measurable, effects: Effects, z: number): Reading {
  const { mean, sd } = expectationOf(id, effects.get(key) ?? [])
  if (FEATURES[id].scale === 'yes-no') return { value: mean >= 0.5 ? 1 : 0, u: 0 }
  return { value: mean + z * Math.hypot(sd, u), u }
}

/** log₂ of how much likelier the true one has become. */
function gainOfTruth(
  told: readonly Candidate[],
  truth: number,
  asked: readonly Measurable[],
  readings: readonly Reading[],
  total: number,
): number {
  const logs = asked.map(({ id, key }, i) => {
    const density = densityOf(id, readings[i] ?? NO_READING)
    const untouched = density(FEATURES[id].healthy)
    return (effects: Effects): number => {
      const touched = effects.get(key)
      return touched === undefined ? untouched : density(expectationOf(id, touched))
    }
  })
  const likelihood = (effects: Effects): number => Math.exp(logs.reduce((sum, of) => sum + of(effects), 0))
  const likelihoods = told.map(({ sizes }) =>
    sizes.reduce((sum, { effects, weight }) => sum + weight * likelihood(effects), 0),
  )
  const evidence = told.reduce((sum, { probability }, i) => sum + (probability / total) * (likelihoods[i] ?? 0), 0)
  return evidence > 0 ? Math.log2(Math.max(1e-12, (likelihoods[truth] ?? 0) / evidence)) : 0
}

const NO_READING: Reading = { value: 0, u: 0 }
