import { bothEffects } from './expectation.ts'
import { speaks } from './groups.ts'
import { gainOf, logSumExp, type Posterior, type Weighed } from './posterior.ts'

export interface Combination {
  readonly members: readonly [Weighed, Weighed]
  /** ln of how much likelier both together are than the likeliest single cause. */
  readonly weight: number
}

/** Sizes of each that are tried together, the best fitting ones. */
const SIZES = 6
const CANDIDATES = 10
/** Two are told only at 10 to 1 over one (common practice). */
const FAR_BETTER = Math.log(10)

/**
 * Two independent causes at once, where they explain the readings far better than any one does. Prior: the product of
 * both odds against healthy. null where one cause, or none, does as well.
 */
export function combinationOf({ all, observed }: Posterior): Combination | null {
  const healthy = all.find(({ hypothesis }) => hypothesis.id === 'healthy')
  const candidates = all.filter(speaks).sort((a, b) => b.probability - a.probability || b.support - a.support)
  if (healthy === undefined || candidates.length < 2) return null
  const prior = (one: Weighed): number => Math.log(one.hypothesis.prior / healthy.hypothesis.prior)
  const single = Math.max(...candidates.map((one) => prior(one) + one.support))
  let best: Combination | null = null
  for (const [first, second] of pairsOf([...candidates].sort((a, b) => b.support - a.support).slice(0, CANDIDATES))) {
    const weight = prior(first) + prior(second) + supportOfBoth(first, second, observed) - single
    if (weight > (best?.weight ?? FAR_BETTER)) best = { members: [first, second], weight }
  }
  return best
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
