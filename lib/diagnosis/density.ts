import type { FeatureId } from '../../shared/schemas/diagnosis.ts'
import { FEATURES, type FeatureKind } from './features.ts'

/** What a hypothesis expects of a feature: mean and standard deviation on its scale (of ln for `log`, share of yes). */
export interface Expectation {
  readonly mean: number
  readonly sd: number
}

/** A reading on the scale of its feature. */
export interface Reading {
  readonly value: number
  readonly u: number
}

/** Share of readings that come from nothing the model knows: no reading is ever infinite evidence. */
const ODD = 0.0005
/** Nobody answers a question or looks at a place without an occasional mistake. */
const MISTAKE = 0.003
/** No amplitude is known better than this, as a share. */
const LEAST_SHARE = 0.03

/** Student's t with 8 degrees of freedom has tails that a few unusual installs need. */
const DOF = 8
/** ln of Γ(9/2)/(Γ(4) √(8π)), its height at the middle. */
const T_PEAK = Math.log(11.631728396567448 / (6 * Math.sqrt(DOF * Math.PI)))

export function readingOf(id: FeatureId, value: number, u: number): Reading {
  const kind = FEATURES[id]
  if (kind.scale !== 'log') return { value: clipped(kind, value), u }
  const held = clipped(kind, value)
  return { value: Math.log(held), u: Math.min(2, Math.max(LEAST_SHARE, u / held)) }
}

const clipped = ({ range: [low, high] }: FeatureKind, value: number): number => Math.max(low, Math.min(high, value))

/** ln of the density of a reading: Student's t about what is expected, with a floor over what can be at all. */
export const logDensity = (id: FeatureId, reading: Reading, expected: Expectation): number =>
  densityOf(id, reading)(expected)

/** The same for one reading and whatever is expected: what does not depend on that is worked out once. */
export function densityOf(id: FeatureId, { value, u }: Reading): (expected: Expectation) => number {
  if (FEATURES[id].scale === 'yes-no') return ({ mean }) => logAnswer(value, mean)
  const odd = ODD * anyDensity(id, value)
  return ({ mean, sd }) => {
    const scale = Math.max(1e-9, Math.sqrt(sd * sd + u * u))
    const z = (value - mean) / scale
    const inside = Math.exp(T_PEAK - ((DOF + 1) / 2) * Math.log1p((z * z) / DOF)) / scale
    return Math.log((1 - ODD) * inside + odd)
  }
}

function logAnswer(answer: number, share: number): number {
  const held = MISTAKE + (1 - 2 * MISTAKE) * share
  return Math.log(answer >= 0.5 ? held : 1 - held)
}

/** Nearer to the usual than this many standard deviations of healthy installs, odd readings are as dense as there. */
const NEAR = 2

/**
 * Density of a reading that may be anything: of no preferred size, so as 1/distance from what is usual (even in its
 * logarithm) out to what the quantity can be. For `log` even in the logarithm of the value.
 */
export function anyDensity(id: FeatureId, value: number): number {
  const { scale, range, healthy } = FEATURES[id]
  if (scale === 'yes-no') return 0.5
  if (scale === 'log') return 1 / Math.log(range[1] / range[0])
  const near = NEAR * healthy.sd
  const most = Math.max(range[1] - healthy.mean, healthy.mean - range[0])
  return 1 / (2 * (1 + Math.log(most / near)) * Math.max(near, Math.abs(value - healthy.mean)))
}
