import type { CauseGroup, Diagnosis, DiagnosisRequest, RankedCause, Threshold } from '../../shared/schemas/diagnosis.ts'
import { shortNumber } from '../statistics/words.ts'
import { type Beside, besideOf } from './beside.ts'
import { type Combination, combinationOf } from './combination.ts'
import { evidenceOf, missingOf } from './evidence.ts'
import { type Group, groupsOf, likeliestFirst, speaks } from './groups.ts'
import type { Hypothesis } from './hypotheses.ts'
import { moreTestsOf, nextTestsOf } from './next-test.ts'
import { type Posterior, posteriorOf, type Weighed } from './posterior.ts'
import { type FoundFrom, thresholdsOf } from './thresholds.ts'
import { causeName, orOf } from './words.ts'

/** What was measured, with everything weighed and grouped: the short form, for who needs no sentences. */
export interface Ranking {
  readonly posterior: Posterior
  /**
   * As the one cause, within a group shared by priors: sums to 1. Likeliest first; of two at once both before the others,
   * and what explains what the leading cause leaves as likely as it is there besides.
   */
  readonly ranked: readonly Weighed[]
  /** Of several that cannot be told apart. */
  readonly groups: readonly Group[]
  /** The likeliest group, cause alone, `healthy` or `unknown`. */
  readonly leader: Group
  readonly combination: Combination | null
  /** What may be wrong besides the leading cause, once that is found; null before. */
  readonly beside: Beside | null
}

/** From this share on the leading cause, or group, counts as found (common practice). */
const IS_FOUND = 0.9

export function rank({ features, context }: Pick<DiagnosisRequest, 'features' | 'context'>): Ranking {
  const posterior = posteriorOf(features, context)
  const groups = groupsOf(posterior)
  const grouped = new Map(groups.flatMap(({ members }) => members.map((one) => [one.hypothesis, one] as const)))
  const asOne = posterior.all.map((one) => grouped.get(one.hypothesis) ?? one).sort(likeliestFirst)
  const alone = asOne
    .filter(({ hypothesis }) => hypothesis.cause === null)
    .map((one): Group => ({ members: [one], probability: one.probability }))
  const [leader] = [...groups, ...alone].sort((a, b) => b.probability - a.probability)
  if (leader === undefined) throw new RangeError('there is always a healthy install to weigh')
  const leading = foundIn(leader)
  // Of two that explain far better than one the likelier counts as found; without them there is nothing beside it.
  const two = leading === null ? combinationOf(posterior, null) : null
  const found = leading ?? two?.members[0] ?? null
  const beside = found === null ? null : besideOf(found, posterior)
  const combination = beside === null ? two : combinationOf(posterior, beside)
  return {
    posterior,
    ranked: toldFirst(asOne, beside, combination),
    groups: groups.filter(({ members }) => members.length > 1),
    leader,
    beside,
    combination,
  }
}

/** The leading cause where it counts as found. */
const foundIn = ({ members: [first], probability }: Group): Weighed | null =>
  first !== undefined && first.hypothesis.cause !== null && probability >= IS_FOUND ? first : null

function toldFirst(
  asOne: readonly Weighed[],
  beside: Beside | null,
  combination: Combination | null,
): readonly Weighed[] {
  if (beside === null) return asOne
  const members = new Set(combination?.members.map(({ hypothesis }) => hypothesis))
  const besides = new Map(beside.others.filter(speaks).map((one) => [one.hypothesis, one.probability] as const))
  const rank = ({ hypothesis, probability }: Weighed): number =>
    (members.has(hypothesis) ? 1 : 0) + probability + beside.given.probability * (besides.get(hypothesis) ?? 0)
  return [...asOne].sort((a, b) => rank(b) - rank(a) || likeliestFirst(a, b))
}

/** So many of the likeliest causes come with evidence and what is missing; the others with their share alone. */
const TOLD_IN_FULL = 16

/**
 * What could be wrong, from posted features: every cause with its probability, what speaks for and against it, what is
 * missing, what cannot be told apart, and the tests to make next. The same readings give the same answer in any order.
 */
export function diagnose(request: DiagnosisRequest): Diagnosis {
  const ranking = rank(request)
  const { posterior, ranked, groups, combination } = ranking
  const state = stateOf(ranking)
  const found = thresholdsOf(posterior)
  return {
    state,
    sentence: sentenceOf(state, ranking, found),
    causes: ranked.map((one, i) => ({
      ...inFull(one, posterior, i < TOLD_IN_FULL, request.unseen),
      beside: besideWith(one, ranking.beside),
    })),
    groups: groups.map(groupInFull),
    combination: combination === null ? null : combinationInFull(combination),
    nextTests: [...nextTestsOf(posterior, undefined, request.unseen)],
    more: ranking.beside === null ? null : moreInFull(ranking.beside, ranking, request.unseen),
    thresholds: found.map(thresholdInFull),
    features: posterior.observed.length,
  }
}

function stateOf({ posterior, leader, combination }: Ranking): Diagnosis['state'] {
  if (posterior.observed.length === 0) return 'no-data'
  if (combination !== null) return 'combination'
  const id = leader.members[0]?.hypothesis.id
  if (id === 'healthy' || id === 'unknown') return id
  return leader.members.length > 1 ? 'group' : 'cause'
}

const percent = (share: number): string => `${shortNumber(100 * share)} %`

function sentenceOf(state: Diagnosis['state'], ranking: Ranking, found: readonly FoundFrom[]): string {
  const { leader, combination } = ranking
  const [first] = leader.members
  switch (state) {
    case 'no-data':
      return 'Nothing was measured yet: nothing can be said.'
    case 'healthy': {
      const [seen, all] = [found.filter(({ size }) => size !== null).length, found.length]
      return `Nothing found above the sizes that what was measured can show (${seen} of ${all} causes would show; the others need more tests).`
    }
    case 'unknown':
      return 'Something is odd, and none of the known causes fits what was measured.'
    case 'combination':
      return combination === null ? '' : `More than one thing may be wrong: ${pairName(combination)}.`
    case 'group':
      return `${orOf(leader.members.map(({ hypothesis }) => causeName(hypothesis)))}: together ${percent(leader.probability)}; what is known cannot tell them apart.`
    case 'cause':
      return first === undefined ? '' : `${causeName(first.hypothesis)}: ${percent(leader.probability)}.`
  }
}

const pairName = ({ members }: Combination): string =>
  members.map(({ hypothesis }) => causeName(hypothesis).toLowerCase()).join(', and ')

function inFull(
  weighed: Weighed,
  posterior: Posterior,
  isTold: boolean,
  unseen: DiagnosisRequest['unseen'],
): Omit<RankedCause, 'beside'> {
  const { hypothesis, probability } = weighed
  const { id, side, cause, prior } = hypothesis
  return {
    cause: id,
    side,
    title: causeName({ id, side: null, cause }),
    words: cause?.words ?? WORDS_OF_NOTHING[id === 'healthy' ? 'healthy' : 'unknown'],
    source: cause?.source ?? 'common practice',
    probability,
    prior,
    severity: severityOf(weighed),
    ...(isTold ? evidenceOf(weighed, posterior) : { for: [], against: [] }),
    missing: isTold && cause !== null ? missingOf(weighed, posterior, unseen) : [],
    remedy: cause?.remedy ?? null,
  }
}

const besideWith = ({ hypothesis }: Weighed, beside: Beside | null): number | null =>
  beside?.others.filter(speaks).find((one) => one.hypothesis === hypothesis)?.probability ?? null

function moreInFull(
  beside: Beside,
  { posterior, leader }: Ranking,
  unseen: DiagnosisRequest['unseen'],
): Diagnosis['more'] {
  const tests = [...moreTestsOf(beside, posterior, undefined, unseen)]
  // Which of a group it is is not known: each leaves the same unexplained.
  const given = leader.members.includes(beside.given) ? leader.members : [beside.given]
  const name = orOf(given.map(({ hypothesis }) => causeName(hypothesis)))
  const share = beside.nothing < LEAST_TOLD ? `under ${percent(LEAST_TOLD)}` : percent(beside.nothing)
  const sentence =
    tests.length > 0
      ? `${name}: taken as found, which leaves ${share} that nothing else is wrong. To see whether there is more:`
      : `${name}: taken as found, which leaves ${share} that nothing else is wrong. No test would tell more of that.`
  return { nothing: beside.nothing, sentence, tests }
}

/** Shares below this are not told in figures. */
const LEAST_TOLD = 0.001

const WORDS_OF_NOTHING = {
  healthy: 'What was measured lies within what sound installs show.',
  unknown: 'Something that none of the known causes explains: look, and measure again what is odd.',
}

function severityOf({ hypothesis: { cause, grid, nodes }, sizes }: Weighed): RankedCause['severity'] {
  if (cause === null || grid.points.length < 2 || grid.unit === '') return null
  const values = nodes
    .map(({ severity: value }, i) => ({ value, weight: sizes[i] ?? 0 }))
    .sort((a, b) => a.value - b.value)
  const quantile = (share: number): number => {
    let sum = 0
    for (const { value, weight } of values) {
      sum += weight
      if (sum >= share) return value
    }
    return values.at(-1)?.value ?? 0
  }
  const value = values.reduce((sum, one) => sum + one.value * one.weight, 0)
  return { value, low: quantile(0.025), high: quantile(0.975), unit: grid.unit, name: grid.name }
}

const memberOf = ({ hypothesis: { id, side } }: { hypothesis: Hypothesis }) => ({ cause: id, side })

const groupInFull = ({ members, probability }: Group): CauseGroup => ({
  members: members.map(memberOf),
  probability,
  sentence: `What is known cannot tell apart: ${orOf(members.map(({ hypothesis }) => causeName(hypothesis)))}.`,
})

const combinationInFull = (combination: Combination): NonNullable<Diagnosis['combination']> => ({
  members: combination.members.map(memberOf),
  weight: combination.weight,
  sentence: `More than one thing may be wrong: ${pairName(combination)}; together they explain what was measured ${shortNumber(Math.exp(Math.min(20, combination.weight)))} times better than one alone.`,
})

function thresholdInFull({ hypothesis, size }: FoundFrom): Threshold {
  const { id, side, grid } = hypothesis
  const name = causeName(hypothesis)
  const from =
    size === null
      ? 'would not be found with what was measured'
      : grid.unit === ''
        ? 'would be found'
        : `would be found from ${shortNumber(size)} ${grid.unit} on (${grid.name})`
  return { cause: id, side, value: size, unit: grid.unit, sentence: `${name}: ${from}.` }
}
