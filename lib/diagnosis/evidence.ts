import type { EvidenceLine, MissingLine, UnseenFeature } from '../../shared/schemas/diagnosis.ts'
import { featuresToAsk } from './askable.ts'
import { type Expectation, logDensity } from './density.ts'
import { expectedLogOdds } from './distance.ts'
import { type Effects, expectationOf, type FeatureKey, keyOf } from './expectation.ts'
import { FEATURES } from './features.ts'
import type { Observed } from './observed.ts'
import type { Posterior, Weighed } from './posterior.ts'
import { TEST_COSTS } from './test-costs.ts'
import { expectationInWords, featureName, orOf, readingInWords } from './words.ts'

/** Readings that say less than this (ln of odds) are not listed. */
const LEAST = 0.4
/** What is missing is listed when it would be worth this, expected ln of odds. */
const WORTH_ASKING = 0.7
const MOST_LINES = 6

/** What each reading says for or against a cause, strongest first. */
export function evidenceOf(
  weighed: Weighed,
  { observed }: Posterior,
): { for: EvidenceLine[]; against: EvidenceLine[] } {
  const lines = observed.flatMap((one) => {
    const line = lineOf(weighed, one)
    return line === null || Math.abs(line.weight) < LEAST ? [] : [line]
  })
  const strongest = (a: EvidenceLine, b: EvidenceLine) => Math.abs(b.weight) - Math.abs(a.weight)
  return {
    for: lines
      .filter(({ weight }) => weight > 0)
      .sort(strongest)
      .slice(0, MOST_LINES),
    against: lines
      .filter(({ weight }) => weight < 0)
      .sort(strongest)
      .slice(0, MOST_LINES),
  }
}

function lineOf(
  { hypothesis, sizes }: Weighed,
  { key, id, side, feature, reading, share }: Observed,
): EvidenceLine | null {
  const healthy = expectationOf(id, [])
  const base = logDensity(id, reading, healthy)
  let ratio = 0
  for (const [i, { effects }] of hypothesis.nodes.entries()) {
    const touched = effects.get(key)
    const log = touched === undefined ? base : logDensity(id, reading, expectationOf(id, touched))
    ratio += (sizes[i] ?? 0) * Math.exp(log - base)
  }
  const weight = share * Math.log(ratio)
  const here = expectationInWords(id, expectationAt(hypothesis.nodes, sizes, key, id))
  return {
    feature: id,
    side,
    weight,
    sentence: `${readingInWords(feature)}: ${hypothesis.cause === null ? 'expected' : 'this cause expects'} ${here}, a healthy install ${expectationInWords(id, healthy)}.`,
  }
}

/** What a cause of the sizes that fit expects of a feature: mean and spread over those sizes. */
function expectationAt(
  nodes: Weighed['hypothesis']['nodes'],
  sizes: readonly number[],
  key: FeatureKey,
  id: Observed['id'],
): Expectation {
  const each = nodes.map(({ effects }, i) => ({ ...expectationOf(id, effects.get(key) ?? []), weight: sizes[i] ?? 0 }))
  const mean = each.reduce((sum, one) => sum + one.weight * one.mean, 0)
  const variance = each.reduce((sum, one) => sum + one.weight * (one.sd ** 2 + (one.mean - mean) ** 2), 0)
  return { mean, sd: Math.sqrt(variance) }
}

/** What was not measured and would speak about a cause, most telling first; what cannot be seen, with why. */
export function missingOf(
  { hypothesis, sizes }: Weighed,
  { observed, context }: Posterior,
  unseen: readonly UnseenFeature[] = [],
): MissingLine[] {
  const given = new Set(observed.map(({ key }) => key))
  const worth = featuresToAsk(context.sides)
    .filter(({ key }) => !given.has(key))
    .map((one) => ({
      ...one,
      worth: hypothesis.nodes.reduce(
        (sum, { effects }, i) => sum + (sizes[i] ?? 0) * expectedLogOdds(effects, NONE, [one]),
        0,
      ),
    }))
  return worth
    .filter((one) => one.worth > WORTH_ASKING)
    .sort((a, b) => b.worth - a.worth || (keyOf(a.id, a.side) < keyOf(b.id, b.side) ? -1 : 1))
    .slice(0, MOST_LINES)
    .map(({ id, side }) => ({
      feature: id,
      side,
      tests: [...FEATURES[id].tests],
      sentence: `${featureName(id, side)} is not known${whyUnseen(id, unseen) ?? tellsIt(id)}.`,
    }))
}

const NONE: Effects = new Map()

function whyUnseen(id: Observed['id'], unseen: readonly UnseenFeature[]): string | null {
  const found = unseen.find(({ feature }) => feature === id)
  return found === undefined ? null : `: ${found.sentence}`
}

function tellsIt(id: Observed['id']): string {
  const tests = FEATURES[id].tests.map((test) => TEST_COSTS[test]?.title.toLowerCase() ?? test)
  return tests.length === 0 ? '' : `: ${orOf(tests)} would tell it`
}
