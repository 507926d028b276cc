import type { Effect } from './cause.ts'
import { type Expectation, logDensity, type Reading } from './density.ts'
import { type Effects, expectationOf, type FeatureKey } from './expectation.ts'
import { FEATURES } from './features.ts'
import type { Hypothesis } from './hypotheses.ts'
import type { Observed } from './observed.ts'
import { gainOf, logSumExp, type Posterior } from './posterior.ts'

/** A cause counts as found where these odds against a healthy install are expected, priors counted (common practice) … */
const FOUND = Math.log(10)
/** … and nine of ten installs with it are likelier to have it than to be sound. */
const MISSED = 0.1
/** An effect that is known no better than this share of itself may as well not be there: a zero taken since, say. */
const MAY_BE_NOTHING = 0.9

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
  const prior = Math.log(hypothesis.prior / healthy)
  const isFound = (effects: Effects): boolean =>
    casesOf(effects).every((nothing) => {
      const { mean, low } = supportIn(nothing, effects, hypothesis, touched)
      return prior + mean > FOUND && prior + low > 0
    })
  const sizes = [...new Set(hypothesis.nodes.map(({ severity }) => Math.abs(severity)))].sort((x, y) => y - x)
  // A way of it that touches nothing here is no fault of what was measured: a tension that the reference followed.
  const shown = hypothesis.nodes.filter(({ effects }) => touched.some(({ key }) => effects.has(key)))
  const isFoundAt = (size: number | undefined): boolean =>
    shown.every(({ severity, effects }) => Math.abs(severity) !== size || isFound(effects))
  return hypothesis.grid.between ? lastFound(sizes, isFoundAt) : unbroken(sizes, isFoundAt)
}

/** More of it shows more: halved between one that is found and one that is not. Sizes fall. */
function lastFound(sizes: readonly number[], isFound: (size: number | undefined) => boolean): number | null {
  if (!isFound(sizes[0])) return null
  let [found, not] = [0, sizes.length]
  while (not - found > 1) {
    const middle = (found + not) >> 1
    if (isFound(sizes[middle])) found = middle
    else not = middle
  }
  return sizes[found] ?? null
}

/** Kinds are no sizes of one thing: the smallest of those that are found without one that is not above it. */
function unbroken(sizes: readonly number[], isFound: (size: number | undefined) => boolean): number | null {
  const not = sizes.findIndex((size) => !isFound(size))
  return sizes[(not < 0 ? sizes.length : not) - 1] ?? null
}

/** What may be nothing is nothing, or as it is predicted. */
const casesOf = (effects: Effects): readonly boolean[] =>
  [...effects.values()].some((each) => each.some(mayBeNothing)) ? [true, false] : [false]

/** Installs that are drawn, each reading of each on its own: as evenly as multiples of square roots of primes lie. */
const DRAWS = 60
const ROOTS = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71].map(Math.sqrt)

/**
 * Support over what a cause of this size predicts: mean, and what one of ten installs stays under. Each reading scatters
 * on its own, as far as cause, sound installs and its own uncertainty let it.
 */
function supportIn(nothing: boolean, effects: Effects, hypothesis: Hypothesis, touched: readonly Observed[]) {
  const there = touched.map((one) => ({ one, expected: inCase(nothing, one, effects.get(one.key) ?? []) }))
  const usual = there.map(({ one, expected }) => ({ ...one, reading: { ...one.reading, value: expected.mean } }))
  const atMean = logSumExp(hypothesis.nodes.map((node) => Math.log(node.weight) + gainOf(node.effects, usual)))
  const more = there.map(({ one, expected }) => scatterOf(one, expected, effects.get(one.key) ?? []))
  const drawn = Array.from({ length: DRAWS }, (_, draw) =>
    more.reduce((sum, at, i) => {
      const turns = (draw + 0.5) * (ROOTS[i % ROOTS.length] ?? 1) + Math.floor(i / ROOTS.length) / 2
      return sum + at(turns - Math.floor(turns))
    }, atMean),
  ).sort((a, b) => a - b)
  return { mean: drawn.reduce((sum, one) => sum + one, 0) / DRAWS, low: drawn[Math.floor(MISSED * DRAWS)] ?? atMean }
}

function inCase(nothing: boolean, { id }: Observed, touched: readonly Effect[]): Expectation {
  if (!nothing) return expectationOf(id, touched)
  const sure = touched.filter((effect) => !mayBeNothing(effect))
  return sure.length === touched.length ? expectationOf(id, touched) : expectationOf(id, sure)
}

const mayBeNothing = (effect: Effect): boolean =>
  effect.kind === 'add' && effect.by !== 0 && effect.sd >= MAY_BE_NOTHING * Math.abs(effect.by)

/** Middles of six parts of a normal distribution that are as likely as one another. */
const SIXTHS = [-1.383, -0.6745, -0.2104, 0.2104, 0.6745, 1.383] as const

/** Evidence of a reading at a share (0 to 1) of what may come, more than at what is expected. */
function scatterOf(
  { key, id, reading, share }: Observed,
  expected: Expectation,
  touched: readonly Effect[],
): (at: number) => number {
  if (touched.length === 0) return () => 0
  const gain = (value: number): number => gainAt({ key, id, share }, { ...reading, value }, touched)
  const usual = gain(expected.mean)
  if (FEATURES[id].scale === 'yes-no') {
    const [yes, no] = [gain(1) - usual, gain(0) - usual]
    return (at) => (at < expected.mean ? yes : no)
  }
  const wide = Math.hypot(expected.sd, reading.u)
  const more = SIXTHS.map((z) => gain(expected.mean + z * wide) - usual)
  return (at) => more[Math.floor(at * SIXTHS.length)] ?? 0
}

const gainAt = (
  { id, share }: { readonly key: FeatureKey; readonly id: Observed['id']; readonly share: number },
  reading: Reading,
  touched: readonly Effect[],
): number =>
  share * (logDensity(id, reading, expectationOf(id, touched)) - logDensity(id, reading, FEATURES[id].healthy))
