import type { Side } from '../../shared/sample.ts'
import type { DiagnosisFeature, FeatureId } from '../../shared/schemas/diagnosis.ts'
import { type Reading, readingOf } from './density.ts'
import { type FeatureKey, keyOf } from './expectation.ts'
import { FEATURES } from './features.ts'

/** A reading that counts, with the share of its evidence that is its own. */
export interface Observed {
  readonly key: FeatureKey
  readonly id: FeatureId
  readonly side: Side | null
  readonly feature: DiagnosisFeature
  readonly reading: Reading
  readonly share: number
}

/** The same samples told two ways, at one tension and as a slope over several: the one that is better known counts. */
const EITHER: readonly (readonly [slope: FeatureId, now: FeatureId])[] = [
  ['slope-common', 'agreement-now'],
  ['slope-difference', 'imbalance-now'],
]
/** A slope parts share from zero: it is preferred while it is no worse than this many times (common practice). */
const PREFERRED = 2

/**
 * Readings that are made of the same samples repeat one another: of n of them each counts 1/√n, between one witness
 * (1/n) and n independent ones (1).
 */
const SAME_SAMPLES: readonly (readonly FeatureId[])[] = [
  ['drift-residual', 'span-drift', 'temperature-effect'],
  ['drift-side-difference', 'temperature-difference'],
  ['spikes', 'bad-stretches'],
  ['wiggle-spikes', 'wiggle-bad'],
  ['static-noise', 'static-mains'],
  ['alive', 'in-band'],
]

/** What counts of what was given: one reading a quantity and side, none twice, in the catalogue's order. */
export function observedOf(features: readonly DiagnosisFeature[]): readonly Observed[] {
  const best = bestKnown(features.filter(({ source }) => isOfNow(source)))
  for (const [key, older] of bestKnown(features.filter(({ source }) => !isOfNow(source)))) {
    const newer = best.get(key)
    if (newer === undefined || isStillBetter(older, newer)) best.set(key, older)
  }
  for (const [slope, now] of EITHER) {
    const [over, at] = [best.get(keyOf(slope, null)), best.get(keyOf(now, null))]
    if (over === undefined || at === undefined) continue
    best.delete(keyOf(over.u <= PREFERRED * Math.max(at.u, FEATURES[slope].usualU) ? now : slope, null))
  }
  return [...best]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, feature]) => ({
      key,
      id: feature.id,
      side: FEATURES[feature.id].sided ? feature.side : null,
      feature,
      reading: readingOf(feature.id, feature.value, feature.u),
      share: shareOf(feature, best),
    }))
}

/** What runs now, against what a test of a record told when it was made. */
const isOfNow = (source: DiagnosisFeature['source']): boolean =>
  source === 'live' || source === 'shift' || source === 'spectrum'

/** Of readings of one time the one that is better known. */
function bestKnown(features: readonly DiagnosisFeature[]): Map<FeatureKey, DiagnosisFeature> {
  const best = new Map<FeatureKey, DiagnosisFeature>()
  for (const feature of features) {
    const side = FEATURES[feature.id].sided ? feature.side : null
    if (FEATURES[feature.id].sided && side === null) continue
    const key = keyOf(feature.id, side)
    const held = best.get(key)
    if (held === undefined || isBetter(feature, held)) best.set(key, feature)
  }
  return best
}

/** Half the uncertainty is clearly less of it (common practice). */
const CLEARLY = 0.5

/**
 * A machine changes between a record and now, and what is asked is what is wrong now: the newer reading counts. The older
 * one does where both are of one state, as far as both uncertainties can tell, and it is clearly better known.
 */
const isStillBetter = (older: DiagnosisFeature, newer: DiagnosisFeature): boolean =>
  Math.abs(older.value - newer.value) <= 2 * Math.hypot(older.u, newer.u) && older.u < CLEARLY * newer.u

const isBetter = (one: DiagnosisFeature, held: DiagnosisFeature): boolean =>
  one.u < held.u || (one.u === held.u && one.value < held.value)

function shareOf({ id, side }: DiagnosisFeature, given: ReadonlyMap<FeatureKey, DiagnosisFeature>): number {
  const together = SAME_SAMPLES.find((ids) => ids.includes(id)) ?? [id]
  const n = together.filter((one) => given.has(keyOf(one, FEATURES[one].sided ? side : null))).length
  return 1 / Math.sqrt(Math.max(1, n))
}
