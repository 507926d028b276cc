import type { DiagnosisContext, DiagnosisFeature } from '../../shared/schemas/diagnosis.ts'
import { anyDensity, logDensity } from './density.ts'
import { type Effects, expectationOf } from './expectation.ts'
import { type Hypothesis, hypothesesOf } from './hypotheses.ts'
import { type Observed, observedOf } from './observed.ts'

/** A hypothesis after what was measured. */
export interface Weighed {
  readonly hypothesis: Hypothesis
  readonly probability: number
  /** ln of the likelihood, sizes integrated over, less that of a healthy install: the Bayes factor. */
  readonly support: number
  /** Posterior of the sizes, in the order of the nodes; sums to 1. */
  readonly sizes: readonly number[]
}

export interface Posterior {
  readonly context: DiagnosisContext
  readonly observed: readonly Observed[]
  /** In the order of `hypothesesOf`: healthy first. */
  readonly all: readonly Weighed[]
}

/**
 * Bayes' rule over everything that may be so: p(cause | readings) ∝ prior · Σ_sizes weight · Π_readings density^share.
 * Features that a cause does not touch follow healthy installs. Missing ones do not enter at all.
 */
export function posteriorOf(features: readonly DiagnosisFeature[], context: DiagnosisContext): Posterior {
  const observed = observedOf(features)
  const weighed = hypothesesOf(context).map((hypothesis) => supportOf(hypothesis, observed))
  const logs = weighed.map(({ hypothesis, support }) => Math.log(hypothesis.prior) + support)
  const total = logSumExp(logs)
  return {
    context,
    observed,
    all: weighed.map((one, i) => ({ ...one, probability: Math.exp((logs[i] ?? 0) - total) })),
  }
}

type Supported = Omit<Weighed, 'probability'>

function supportOf(hypothesis: Hypothesis, observed: readonly Observed[]): Supported {
  if (hypothesis.id === 'unknown') {
    const support = supportOfUnknown(observed)
    return { hypothesis, support, sizes: [1] }
  }
  const logs = hypothesis.nodes.map(({ weight, effects }) => Math.log(weight) + gainOf(effects, observed))
  const support = logSumExp(logs)
  return {
    hypothesis,
    support,
    sizes: logs.map((log) => Math.exp(log - support)),
  }
}

/** ln of how much likelier the readings are with these effects than at a healthy install. */
export function gainOf(effects: Effects, observed: readonly Observed[]): number {
  let gain = 0
  for (const { key, id, reading, share } of observed) {
    const touched = effects.get(key)
    if (touched === undefined) continue
    gain += share * (logDensity(id, reading, expectationOf(id, touched)) - healthyDensity(id, reading))
  }
  return gain
}

const healthyDensity = (id: Observed['id'], reading: Observed['reading']): number =>
  logDensity(id, reading, expectationOf(id, []))

/** How many of the readings something unknown would make odd, on the average. */
const ODD_READINGS = 1.5
const MOST_ODD = 0.15

/** Something else: any one or two of the readings anywhere in what they can be, the others as at a healthy install. */
const supportOfUnknown = (observed: readonly Observed[]): number =>
  observed.reduce((sum, one) => sum + gainIfOdd(one, healthyDensity(one.id, one.reading), observed.length), 0)

/** ln of how much likelier one of so many readings is where a few are odd than with this ln density. */
export function gainIfOdd({ id, reading, share }: Observed, expected: number, readings: number): number {
  const odd = Math.min(MOST_ODD, ODD_READINGS / Math.max(1, readings))
  return share * (Math.log((1 - odd) * Math.exp(expected) + odd * anyDensity(id, reading.value)) - expected)
}

export function logSumExp(logs: readonly number[]): number {
  const most = Math.max(...logs)
  return most + Math.log(logs.reduce((sum, log) => sum + Math.exp(log - most), 0))
}
