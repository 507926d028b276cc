import { expectedLogOdds, type Measurable } from './distance.ts'
import type { Effects } from './expectation.ts'
import type { Hypothesis } from './hypotheses.ts'
import { gainOf, type Posterior, type Weighed } from './posterior.ts'

/** Odds that readings would be expected to give: below 3 to 1 two causes are not told apart (common practice). */
export const TOLD_APART = Math.log(3)

/** Causes that what is measured cannot tell apart; the likeliest first. One alone is a group of one. */
export interface Group {
  readonly members: readonly Weighed[]
  readonly probability: number
}

/**
 * Groups of what speaks for itself (at least 3 to 1 over a healthy install), around the likeliest first. Within a group
 * the probability is shared by priors alone: nothing that was measured prefers one of them.
 */
export function groupsOf({ all, observed }: Posterior): readonly Group[] {
  const best = remembering((one: Weighed) => bestFit(one, observed))
  const left = all.filter((one) => speaks(one)).sort(likeliestFirst)
  const groups: Group[] = []
  while (left.length > 0) {
    const [leader] = left
    if (leader === undefined) break
    const members = left.filter((one) => one === leader || isLike(leader, one, best))
    for (const member of members) left.splice(left.indexOf(member), 1)
    groups.push(sharedByPrior(members))
  }
  return groups.sort((a, b) => b.probability - a.probability)
}

export const speaks = ({ hypothesis, support }: Weighed): boolean => hypothesis.cause !== null && support > TOLD_APART

export const likeliestFirst = (a: Weighed, b: Weighed): number =>
  b.probability - a.probability || (nameOf(a) < nameOf(b) ? -1 : 1)

/**
 * The readings are as likely with either to 3 to 1: at the size of each that fits best, or over all sizes that each can
 * have. What tells them apart in one way and not in the other is how many sizes they have, and no reading.
 */
const isLike = (leader: Weighed, other: Weighed, bestFit: (of: Weighed) => number): boolean =>
  Math.min(Math.abs(leader.support - other.support), Math.abs(bestFit(leader) - bestFit(other))) < TOLD_APART

const nameOf = ({ hypothesis: { id, side } }: Weighed): string => `${id} ${side ?? ''}`

const bestFit = ({ hypothesis }: Weighed, observed: Posterior['observed']): number =>
  Math.max(...hypothesis.fine().map((effects) => gainOf(effects, observed)))

function remembering<Of extends object, T>(make: (of: Of) => T): (of: Of) => T {
  const made = new Map<Of, T>()
  return (of) => {
    const known = made.get(of)
    if (known !== undefined) return known
    const now = make(of)
    made.set(of, now)
    return now
  }
}

/** Expected ln of the odds between what is predicted and the size of another cause that predicts it best. */
export const nearest = (effects: Effects, to: Hypothesis, measurables: readonly Measurable[]): number =>
  Math.min(...to.fine().map((of) => expectedLogOdds(effects, of, measurables)))

function sharedByPrior(members: readonly Weighed[]): Group {
  const probability = members.reduce((sum, one) => sum + one.probability, 0)
  const prior = members.reduce((sum, { hypothesis }) => sum + hypothesis.prior, 0)
  return {
    members: members
      .map((one) => ({ ...one, probability: (probability * one.hypothesis.prior) / prior }))
      .sort(likeliestFirst),
    probability,
  }
}
