import type { Beside } from './beside.ts'
import { bothEffects } from './expectation.ts'
import { speaks } from './groups.ts'
import { gainOf, logSumExp, type Posterior, type Weighed } from './posterior.ts'

export interface Combination {
  readonly members: readonly [Weighed, Weighed]
  /** ln of how much likelier both together are than the likeliest single cause, or than it with something unknown. */
  readonly weight: number
}

/** Sizes of each that are tried together, the best fitting ones. */
const SIZES = 6
const CANDIDATES = 10
/** Two are told only at 10 to 1 over one (common practice) … */
const FAR_BETTER = Math.log(10)
/** … and a second one beside what is found at 30 to 1: no picture of a cause is whole. */
const FAR_BETTER_BESIDE = Math.log(30)

/**
 * Two independent causes at once, where they explain the readings far better than any one does. Prior: the product of
 * both odds against healthy. With a cause that counts as found a second one must be far likelier than none and than
 * something unknown. null where one cause, or none, does as well.
 */
export function combinationOf({ all, observed }: Posterior, beside: Beside | null): Combination | null {
  const healthy = all.find(({ hypothesis }) => hypothesis.id === 'healthy')
  const candidates = all.filter(speaks).sort((a, b) => b.support - a.support)
  if (healthy === undefined || candidates.length === 0) return null
  const prior = (one: Weighed): number => Math.log(one.hypothesis.prior / healthy.hypothesis.prior)
  const single = Math.max(...candidates.map((one) => prior(one) + one.support))
  let best = beside === null ? null : withSecond(beside)
  for (const [first, second] of pairsOf(candidates.slice(0, CANDIDATES))) {
    if ([first, second].some(({ hypothesis }) => hypothesis === beside?.given.hypothesis)) continue
    const weight = prior(first) + prior(second) + supportOfBoth(first, second, observed) - single
    if (weight > (best?.weight ?? FAR_BETTER)) best = { members: [first, second], weight }
  }
  return best
}

/** The cause that counts as found, with the one that explains best what it leaves. */
function withSecond({ given, nothing, unknown, others }: Beside): Combination | null {
  const [second] = [...others].sort((a, b) => b.probability - a.probability)
  if (second === undefined) return null
  const weight = Math.log(second.probability / (nothing + unknown))
  return weight > FAR_BETTER_BESIDE ? { members: [given, second], weight } : null
}

function* pairsOf(ones: readonly Weighed[]): Generator<readonly [Weighed, Weighed]> {
  for (const [i, first] of ones.entries()) for (const second of ones.slice(i + 1)) yield [first, second]
}

function supportOfBoth(first: Weighed, second: Weighed, observed: Posterior['observed']): number {
  const logs = bestSizes(first).flatMap((a) =>
    bestSizes(second).map((b) => Math.log(a.weight * b.weight) + gainOf(bothEffects(a.effects, b.effects), observed)),
  )
  return logSumExp(logs)
}

const bestSizes = ({ hypothesis: { nodes }, sizes }: Weighed) =>
  nodes
    .map((node, i) => ({ ...node, size: sizes[i] ?? 0 }))
    .sort((a, b) => b.size - a.size)
    .slice(0, SIZES)
