import type { FaultId } from '../../shared/faults.ts'
import type { Side } from '../../shared/sample.ts'
import type { DiagnosisContext, FeatureId } from '../../shared/schemas/diagnosis.ts'

/**
 * What a cause does to one feature.
 *
 * `add`: moves it, and spreads it by `sd` (linear scale). `amplitude`: adds to it in quadrature, the way independent
 * vibrations and noises do; `factor` is the ratio of one standard deviation (log scale). `times`: multiplies it.
 * `set`, and `at` on the linear scale: takes the place of what is usual. `yes`: the share of yes (yes-no scale).
 */
export type Effect =
  | { readonly kind: 'add'; readonly by: number; readonly sd: number }
  | { readonly kind: 'amplitude'; readonly value: number; readonly factor: number }
  | { readonly kind: 'times'; readonly by: number; readonly factor: number }
  | { readonly kind: 'set'; readonly value: number; readonly factor: number }
  | { readonly kind: 'at'; readonly mean: number; readonly sd: number }
  | { readonly kind: 'yes'; readonly share: number }

export const add = (by: number, sd = 0): Effect => ({ kind: 'add', by, sd })
/** It moves either way by about `sd`. */
export const spread = (sd: number): Effect => add(0, Math.abs(sd))
export const amplitude = (value: number, factor = 1.4): Effect => ({
  kind: 'amplitude',
  value: Math.abs(value),
  factor,
})
export const times = (by: number, factor = 1.4): Effect => ({ kind: 'times', by, factor })
export const set = (value: number, factor = 2): Effect => ({ kind: 'set', value, factor })
/** Takes the place of what is usual (linear scale). */
export const at = (mean: number, sd: number): Effect => ({ kind: 'at', mean, sd })
export const yes = (share: number): Effect => ({ kind: 'yes', share })

/** An effect at its feature: `own` side of the cause, `all` sides, or of the whole `zone`. */
export interface Touched {
  readonly feature: FeatureId
  readonly at: 'own' | 'all' | 'zone'
  readonly effect: Effect
}

export const own = (feature: FeatureId, effect: Effect): Touched => ({ feature, at: 'own', effect })
export const all = (feature: FeatureId, effect: Effect): Touched => ({ feature, at: 'all', effect })
export const zone = (feature: FeatureId, effect: Effect): Touched => ({ feature, at: 'zone', effect })

/**
 * Where a cause sits: +1 on the operator side, −1 on the drive side, 0 where there is one cell or it concerns both. Some
 * causes show in one of two ways and nobody knows in which, so that both are weighed alike: with a zero taken since, or
 * (`otherWay`) with an older one; under a set value that follows nothing, or under a reference that follows the web.
 */
export interface Seat {
  readonly otherWay: boolean
  readonly side: Side | null
  readonly sign: -1 | 0 | 1
  readonly pair: boolean
  readonly context: DiagnosisContext
}

/** Sizes that a cause can have, with how likely each is before anything is measured (sums to 1). */
export interface SeverityGrid {
  readonly name: string
  readonly unit: string
  /** Sizes between the points occur too; else these are all there are. */
  readonly between: boolean
  readonly points: readonly { readonly value: number; readonly weight: number }[]
}

/** One thing that can be wrong, and what it predicts. */
export interface Cause {
  readonly id: FaultId
  readonly title: string
  /** What it is, for somebody who never met it. */
  readonly words: string
  /** Where the prediction comes from; "common practice" for what has no source. */
  readonly source: string
  /** Relative frequency among causes, against 0.6 for a healthy install (common practice). */
  readonly prior: number
  /** Needs two cells to exist. */
  readonly pairOnly?: true
  /** It concerns both sides, and one of them may come to it before the other. */
  readonly oneSideFirst?: true
  readonly severity: SeverityGrid | ((context: DiagnosisContext) => SeverityGrid)
  predict(severity: number, seat: Seat): readonly Touched[]
  /** One line, deferring to site and maker. */
  readonly remedy: string
}
