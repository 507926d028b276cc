import type { Effect } from './cause.ts'
import { densityOf, type Expectation } from './density.ts'
import { type Effects, expectationOf } from './expectation.ts'
import type { Hypothesis } from './hypotheses.ts'
import type { Observed } from './observed.ts'
import { gainIfOdd, logSumExp, type Posterior, type Weighed } from './posterior.ts'

/** What may be wrong besides a cause that is taken as found. */
export interface Beside {
  readonly given: Weighed
  /** That nothing else is wrong, and that something is which no cause explains; with all of `others` they sum to 1. */
  readonly nothing: number
  readonly unknown: number
  /**
   * Every other cause: `probability` that it is there too, `support` as ln of how much likelier the readings are with both
   * than with the given one alone, `sizes` of its own.
   */
  readonly others: readonly Weighed[]
}

/**
 * Odds, before anything is measured, that the given cause shows in one or two readings nobody predicted, or that
 * something unknown does: no picture of a large fault is whole (common practice).
 */
const UNKNOWN_ODDS = 0.1
/** Sizes of the given cause that are tried with every other one, the likeliest. */
const SIZES = 6

/**
 * What the given cause leaves unexplained, weighed: p(second | readings, given) ∝ prior odds of the second against nothing
 * · Σ_sizes of both Π_readings density of both together over density of the given one alone. Independent causes, whose
 * effects add; at most two. The number of pairs is that of the other causes.
 */
export function besideOf(given: Weighed, { all, observed }: Posterior): Beside {
  const healthy = all.find(({ hypothesis }) => hypothesis.id === 'healthy')?.hypothesis.prior ?? 1
  const readings = readingsWith(likeliestSizes(given, SIZES), observed)
  const weighed = all
    .filter(({ hypothesis }) => hypothesis.cause !== null && hypothesis !== given.hypothesis)
    .map(({ hypothesis }) => ({ hypothesis, ...togetherWith(hypothesis, readings) }))
  const logs = weighed.map(({ hypothesis, support }) => Math.log(hypothesis.prior / healthy) + support)
  const unknown = Math.log(UNKNOWN_ODDS) + gainOfUnknown(readings)
  const total = logSumExp([0, unknown, ...logs])
  return {
    given,
    nothing: Math.exp(-total),
    unknown: Math.exp(unknown - total),
    others: weighed.map((one, i) => ({ ...one, probability: Math.exp((logs[i] ?? 0) - total) })),
  }
}

interface Likely {
  readonly effects: Effects
  readonly share: number
}

/** The likeliest sizes of a cause, their shares summing to 1. */
export function likeliestSizes({ hypothesis: { nodes }, sizes }: Weighed, most: number): readonly Likely[] {
  const best = nodes
    .map(({ effects }, i) => ({ effects, share: sizes[i] ?? 0 }))
    .sort((a, b) => b.share - a.share)
    .slice(0, most)
  const total = best.reduce((sum, { share }) => sum + share, 0) || 1
  return best.map(({ effects, share }) => ({ effects, share: share / total }))
}

/** A reading with its ln density at each likely size of the given cause alone. */
interface AtGiven {
  readonly one: Observed
  readonly density: (expected: Expectation) => number
  readonly sizes: readonly { readonly share: number; readonly effects: readonly Effect[]; readonly alone: number }[]
}

const readingsWith = (likely: readonly Likely[], observed: readonly Observed[]): readonly AtGiven[] =>
  observed.map((one) => {
    const density = densityOf(one.id, one.reading)
    const sizes = likely.map(({ effects, share }) => {
      const touched = effects.get(one.key) ?? NONE
      return { share, effects: touched, alone: density(expectationOf(one.id, touched)) }
    })
    return { one, density, sizes }
  })

const NONE: readonly Effect[] = []

function togetherWith({ nodes }: Hypothesis, readings: readonly AtGiven[]): Pick<Weighed, 'support' | 'sizes'> {
  const touched = readings.filter(({ one }) => nodes.some(({ effects }) => effects.has(one.key)))
  const logs = nodes.map(({ weight, effects }) => Math.log(weight) + gainBeside(effects, touched))
  const support = logSumExp(logs)
  return { support, sizes: logs.map((log) => Math.exp(log - support)) }
}

/** ln of how much likelier the readings are with a second cause of these effects too, over the sizes of the given one. */
const gainBeside = (second: Effects, readings: readonly AtGiven[]): number =>
  overSizes(readings, ({ one, density }, { effects, alone }) => {
    const more = second.get(one.key)
    if (more === undefined) return 0
    return one.share * (density(expectationOf(one.id, effects.length === 0 ? more : [...effects, ...more])) - alone)
  })

/** The same with something unknown besides, that makes one or two of the readings odd. */
const gainOfUnknown = (readings: readonly AtGiven[]): number =>
  overSizes(readings, ({ one }, { alone }) => gainIfOdd(one, alone, readings.length))

/** ln of Σ_sizes share · Π_readings exp(gain). */
function overSizes(
  readings: readonly AtGiven[],
  gain: (reading: AtGiven, size: AtGiven['sizes'][number]) => number,
): number {
  const gains = (readings[0]?.sizes ?? []).map(({ share }, size) =>
    readings.reduce((sum, reading) => {
      const at = reading.sizes[size]
      return at === undefined ? sum : sum + gain(reading, at)
    }, Math.log(share)),
  )
  return gains.length === 0 ? 0 : logSumExp(gains)
}
