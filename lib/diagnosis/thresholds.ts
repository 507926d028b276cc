import { type Effects, expectationOf } from './expectation.ts'
import { FEATURES } from './features.ts'
import type { Hypothesis } from './hypotheses.ts'
import type { Observed } from './observed.ts'
import { gainOf, logSumExp, type Posterior } from './posterior.ts'

/** A cause counts as found at these odds against a healthy install, priors counted (common practice). */
const FOUND = Math.log(10)

export interface FoundFrom {
  readonly hypothesis: Hypothesis
  /** Smallest size, either way, from which on it would be found; null where it would not be at any. */
  readonly size: number | null
}

/** From which size on each cause would show in the features that were measured, as well as they were. */
export function thresholdsOf({ all, observed }: Posterior): readonly FoundFrom[] {
  const healthy = all.find(({ hypothesis }) => hypothesis.id === 'healthy')?.hypothesis.prior ?? 1
  return all
    .filter(({ hypothesis }) => hypothesis.cause !== null)
    .map(({ hypothesis }) => ({ hypothesis, size: foundFrom(hypothesis, healthy, observed) }))
}

function foundFrom(hypothesis: Hypothesis, healthy: number, observed: readonly Observed[]): number | null {
  const touched = observed.filter(({ key }) => hypothesis.nodes.some(({ effects }) => effects.has(key)))
  if (touched.length === 0) return null
  const isFound = hypothesis.nodes.map(
    ({ effects }) => Math.log(hypothesis.prior / healthy) + supportAt(effects, hypothesis, touched) > FOUND,
  )
  const sizes = [...new Set(hypothesis.nodes.map(({ severity }) => Math.abs(severity)))].sort((x, y) => y - x)
  let from: number | null = null
  for (const size of sizes) {
    if (!hypothesis.nodes.every(({ severity }, i) => Math.abs(severity) !== size || isFound[i] === true)) break
    from = size
  }
  return from
}

/** Support of a cause if every reading came out as it predicts at this size. */
function supportAt(effects: Effects, hypothesis: Hypothesis, touched: readonly Observed[]): number {
  const expected = touched.map((one) => ({ ...one, reading: { ...one.reading, value: predicted(one, effects) } }))
  return logSumExp(hypothesis.nodes.map((node) => Math.log(node.weight) + gainOf(node.effects, expected)))
}

/** The likeliest answer; a number at what is expected, one standard deviation out where only its spread is told. */
function predicted({ id, key }: Observed, effects: Effects): number {
  const touched = effects.get(key) ?? []
  const { mean, sd } = expectationOf(id, touched)
  if (FEATURES[id].scale === 'yes-no') return mean >= 0.5 ? 1 : 0
  const onlySpread = touched.every((effect) => effect.kind === 'add' && effect.by === 0 && effect.sd > 0)
  return touched.length > 0 && onlySpread ? mean + sd : mean
}
