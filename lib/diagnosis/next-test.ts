import type { NextTest, UnseenFeature } from '../../shared/schemas/diagnosis.ts'
import type { TestId } from '../../shared/schemas/verification/test-ids.ts'
import { featuresToAsk } from './askable.ts'
import { type Beside, likeliestSizes } from './beside.ts'
import type { Measurable } from './distance.ts'
import { bothEffects } from './expectation.ts'
import { FEATURES } from './features.ts'
import { type Candidate, information } from './information.ts'
import type { Posterior, Weighed } from './posterior.ts'
import { TEST_COSTS, type TestCost } from './test-costs.ts'
import { featureName } from './words.ts'

/** Hypotheses under this share are left out of the sum: they add less than the sum is good to. */
const LEAST_SHARE = 0.0005
/** Sizes of a cause that stand for all, the likeliest of them. */
const SIZES = 3
const LEAST_BITS = 0.0005
/** Below this a test to see whether there is more is not worth the walk (common practice). */
const LEAST_MORE_BITS = 0.01
/** Second causes that are weighed against one another and nothing, the likeliest. */
const MOST_BESIDE = 24
const MOST_TESTS = 8
/** Every test costs a walk to the machine, min (common practice). */
const WALK = 5

/**
 * Tests by what they are expected to tell about the cause, for what they cost: mutual information between cause and the
 * test’s readings over the present posterior, bits, over minutes · care.
 */
export const nextTestsOf = (
  posterior: Posterior,
  most = MOST_TESTS,
  unseen: readonly UnseenFeature[] = [],
): readonly NextTest[] => best(candidatesOf(posterior.all), LEAST_BITS, posterior, most, unseen)

/** The same about a second cause, or none, beside the one that is taken as found. */
export const moreTestsOf = (
  beside: Beside,
  posterior: Posterior,
  most = MOST_TESTS,
  unseen: readonly UnseenFeature[] = [],
): readonly NextTest[] => best(candidatesBeside(beside), LEAST_MORE_BITS, posterior, most, unseen)

function best(
  candidates: readonly Candidate[],
  least: number,
  { observed, context }: Posterior,
  most: number,
  unseen: readonly UnseenFeature[],
): readonly NextTest[] {
  const given = new Set(observed.map(({ key }) => key))
  const isHidden = new Set(unseen.map(({ feature }) => feature))
  const open = featuresToAsk(context.sides).filter(({ key, id }) => !given.has(key) && !isHidden.has(id))
  return (Object.entries(TEST_COSTS) as [TestId, TestCost][])
    .map(([test, cost]) => {
      const asked = open.filter(({ id }) => FEATURES[id].tests.includes(test))
      return { test, cost, asked, bits: asked.length === 0 ? 0 : information(candidates, asked) }
    })
    .filter(({ bits }) => bits >= least)
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

const candidatesOf = (all: readonly Weighed[]): readonly Candidate[] =>
  all.filter(({ probability }) => probability >= LEAST_SHARE).map((one) => ({ ...one, sizes: sizesOf(one) }))

/** Nothing else, or each other cause, with the given one at its likeliest size. */
function candidatesBeside({ given, nothing, unknown, others }: Beside): readonly Candidate[] {
  const [likely] = likeliestSizes(given, 1)
  const alone = likely?.effects ?? new Map()
  const both = [...others]
    .sort((a, b) => b.probability - a.probability)
    .slice(0, MOST_BESIDE)
    .filter(({ probability }) => probability >= LEAST_SHARE)
    .map((one) => ({
      ...one,
      sizes: sizesOf(one).map(({ effects, weight }) => ({ effects: bothEffects(alone, effects), weight })),
    }))
  return [{ probability: nothing + unknown, sizes: [{ effects: alone, weight: 1 }] }, ...both]
}

/** A few of the sizes of a cause, likeliest first, that stand for all. */
function sizesOf({ hypothesis: { nodes }, sizes }: Weighed): Candidate['sizes'] {
  const some = nodes
    .map(({ effects }, i) => ({ effects, weight: sizes[i] ?? 0 }))
    .sort((a, b) => b.weight - a.weight)
    .filter((_, i, { length }) => i % Math.max(1, Math.floor(length / SIZES / 2)) === 0)
    .slice(0, SIZES)
  const total = some.reduce((sum, { weight }) => sum + weight, 0) || 1
  return some.map(({ effects, weight }) => ({ effects, weight: weight / total }))
}
