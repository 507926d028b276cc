import { expectedLogOdds, type Measurable } from './distance.ts'
import type { Node } from './hypotheses.ts'
import type { Posterior, Weighed } from './posterior.ts'

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
  const measurables = observed.map(
    ({ key, id, side, reading, share }): Measurable => ({ key, id, side, u: reading.u / share }),
  )
  const left = all.filter((one) => speaks(one)).sort(likeliestFirst)
  const groups: Group[] = []
  while (left.length > 0) {
    const [leader] = left
    if (leader === undefined) break
    const members = left.filter((one) => one === leader || isLike(leader, one, measurables))
    for (const member of members) left.splice(left.indexOf(member), 1)
    groups.push(sharedByPrior(members))
  }
  return groups.sort((a, b) => b.probability - a.probability)
}

export const speaks = ({ hypothesis, support }: Weighed): boolean => hypothesis.cause !== null && support > TOLD_APART

export const likeliestFirst = (a: Weighed, b: Weighed): number =>
  b.probability - a.probability || (nameOf(a) < nameOf(b) ? -1 : 1)

const nameOf = ({ hypothesis: { id, side } }: Weighed): string => `${id} ${side ?? ''}`

function isLike(leader: Weighed, other: Weighed, measurables: readonly Measurable[]): boolean {
  if (Math.abs(leader.best - other.best) > TOLD_APART) return false
  return distance(leader, other, measurables) < TOLD_APART && distance(other, leader, measurables) < TOLD_APART
}

/** Expected ln of the odds, at the sizes of `from` that fit the readings, against the size of `to` nearest to it. */
function distance(from: Weighed, to: Weighed, measurables: readonly Measurable[]): number {
  return from.hypothesis.nodes.reduce((sum, { effects }, i) => {
    const size = from.sizes[i] ?? 0
    return size < 0.01 ? sum : sum + size * nearest(effects, to.hypothesis.nodes, measurables)
  }, 0)
}

export const nearest = (effects: Node['effects'], nodes: readonly Node[], measurables: readonly Measurable[]): number =>
  Math.min(...nodes.map((node) => expectedLogOdds(effects, node.effects, measurables)))

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
