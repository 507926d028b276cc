import type { NextTest, UnseenFeature } from '../../shared/schemas/diagnosis.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import { featuresToAsk } from './askable.ts'
import { logDensity, type Reading } from './density.ts'
import type { Measurable } from './distance.ts'
import { type Effects, expectationOf } from './expectation.ts'
import { FEATURES } from './features.ts'
import type { Posterior, Weighed } from './posterior.ts'
import { TEST_COSTS, type TestCost } from './test-costs.ts'
import { featureName } from './words.ts'

/** Hypotheses under this share are left out of the sum: they add less than the sum is good to. */
const LEAST_SHARE = 0.0005
/** Sizes of a cause that stand for all, the likeliest of them. */
const SIZES = 3
/** Readings at the mean and √3 of a standard deviation either way: three-point Gauss–Hermite quadrature. */
const SCATTER = [
  { z: 0, weight: 2 / 3 },
  { z: Math.sqrt(3), weight: 1 / 6 },
  { z: -Math.sqrt(3), weight: 1 / 6 },
] as const
const LEAST_BITS = 0.0005
const MOST_TESTS = 8
/** Every test costs a walk to the machine, min (common practice). */
const WALK = 5

interface Candidate {
  readonly probability: number
  readonly sizes: readonly { readonly effects: Effects; readonly weight: number }[]
}

/**
 * Tests by what they are expected to tell about the cause, for what they cost: mutual information between cause and the
 * test’s readings over the present posterior, bits, by a fixed quadrature (no randomness), over minutes · care.
 */
export function nextTestsOf(
  posterior: Posterior,
  most = MOST_TESTS,
  unseen: readonly UnseenFeature[] = [],
): readonly NextTest[] {
  const given = new Set(posterior.observed.map(({ key }) => key))
  const isHidden = new Set(unseen.map(({ feature }) => feature))
  const open = featuresToAsk(posterior.context.sides).filter(({ key, id }) => !given.has(key) && !isHidden.has(id))
  const candidates = candidatesOf(posterior.all)
  return (Object.entries(TEST_COSTS) as [TestId, TestCost][])
    .map(([test, cost]) => {
      const asked = open.filter(({ id }) => FEATURES[id].tests.includes(test))
      return { test, cost, asked, bits: asked.length === 0 ? 0 : information(candidates, asked) }
    })
    .filter(({ bits }) => bits >= LEAST_BITS)
    .sort((a, b) => worth(b) - worth(a) || (a.test < b.test ? -1 : 1))
    .slice(0, most)
    .map(inWords)
}

const worth = ({ bits, cost }: { bits: number; cost: TestCost }): number => bits / (cost.minutes * cost.care + WALK)

function inWords(told: { test: TestId; cost: TestCost; asked: readonly Measurable[]; bits: number }): NextTest {
  const { test, cost, asked, bits } = told
  const names = [...new Set(asked.map(({ id }) => featureName(id, null).toLowerCase()))].slice(0, 3).join(', ')
  return {
    test,
    title: cost.title,
    bits,
    minutes: cost.minutes,
    caution: cost.caution,
    sentence: `About ${cost.minutes} min; tells ${names} (${bits.toFixed(2)} bit of information expected).`,
  }
}

function candidatesOf(all: readonly Weighed[]): readonly Candidate[] {
  return all
    .filter(({ probability }) => probability >= LEAST_SHARE)
    .map(({ probability, hypothesis: { nodes }, sizes }) => {
      const best = nodes
        .map(({ effects }, i) => ({ effects, weight: sizes[i] ?? 0 }))
        .sort((a, b) => b.weight - a.weight)
        .filter((_, i, { length }) => i % Math.max(1, Math.floor(length / SIZES / 2)) === 0)
        .slice(0, SIZES)
      const total = best.reduce((sum, { weight }) => sum + weight, 0) || 1
      return { probability, sizes: best.map(({ effects, weight }) => ({ effects, weight: weight / total })) }
    })
}

/** Σ_cause p Σ_readings q log₂(p(cause | readings)/p(cause)), never under 0. */
function information(candidates: readonly Candidate[], asked: readonly Measurable[]): number {
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
  const likelihoods = told.map(({ sizes }) =>
    sizes.reduce((sum, { effects, weight }) => sum + weight * Math.exp(logLikelihood(effects, asked, readings)), 0),
  )
  const evidence = told.reduce((sum, { probability }, i) => sum + (probability / total) * (likelihoods[i] ?? 0), 0)
  return evidence > 0 ? Math.log2(Math.max(1e-12, (likelihoods[truth] ?? 0) / evidence)) : 0
}

function logLikelihood(effects: Effects, asked: readonly Measurable[], readings: readonly Reading[]): number {
  return asked.reduce((sum, { id, key }, i) => {
    const reading = readings[i]
    return reading === undefined ? sum : sum + logDensity(id, reading, expectationOf(id, effects.get(key) ?? []))
  }, 0)
}
