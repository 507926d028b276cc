import type { MonotonicMs } from '../../shared/brand.ts'
import type { AuxRole, Sample, Side } from '../../shared/sample.ts'
import type { ResidualSnapshot } from './residual-track.ts'
import type { UncertaintyInput } from './systematic.ts'

/** A measured figure with everything its verdict needs. SI; shares in percent. */
export interface Quantity {
  readonly value: number
  /** Random standard uncertainty and its degrees of freedom. */
  readonly uRandom: number
  readonly dof: number
  /** What no averaging removes; uncorrelated with one another. */
  readonly systematic: readonly UncertaintyInput[]
  /** Numbers that went in beside those: for the reader. */
  readonly inputs: readonly UncertaintyInput[]
  readonly window: { readonly seconds: number; readonly samples: number; readonly effectiveSamples: number | null }
  readonly newestMs: MonotonicMs
}

/** A figure, or why there is none: it waits for something, or there is no good data. */
export type Outcome =
  | { readonly kind: 'told'; readonly quantity: Quantity }
  | { readonly kind: 'waiting'; readonly for: string }
  | { readonly kind: 'no-data'; readonly why: string }

export const waiting = (what: string): Outcome => ({ kind: 'waiting', for: what })

export interface LiveSample {
  /** Newest sample, good or not; null before the first. */
  readonly sample: Sample | null
  /** It is older than its allowed age: not to be shown as a number. */
  readonly stale: boolean
}

export interface SideSnapshot {
  readonly side: Side
  readonly live: LiveSample
  /** Force along the arrow, N. */
  readonly force: Outcome
  /** Web tension this side carries, N; null without a force factor. */
  readonly tension: Outcome | null
  /** 1 σ after slow motion is removed, % of the side's mean force. */
  readonly noise: Outcome
  /** Peak to peak of the same residual, N. */
  readonly peakToPeak: Outcome
}

export interface SteadyState {
  /** `assumed`: the zone has no channel that tells. `unknown`: a channel it has, or every cell, gives nothing good. */
  readonly state: 'steady' | 'not-steady' | 'assumed' | 'unknown'
  readonly sentence: string
  readonly forSeconds: number
}

export interface ZoneSnapshot {
  readonly nowMs: MonotonicMs
  /** Drive side and operator side, or the one cell. */
  readonly sides: readonly SideSnapshot[]
  readonly totalMeans: 'tension' | 'force'
  readonly total: Outcome
  /** N/h. */
  readonly rateOfTotal: Outcome
  /** Absent for a zone with one cell. */
  readonly pair?: {
    /** %. */
    readonly imbalance: Outcome
    /** m, towards the operator side. */
    readonly lineOfPull: Outcome
    /** Points per hour. */
    readonly driftOfSideDifference: Outcome
    /** Operator-side time less drive-side time of the last frame with both; ± half-width of that difference. */
    readonly skew: { readonly ms: number; readonly halfWidthMs: number; readonly tMs: MonotonicMs } | null
  }
  /** Measured less expected; absent for a zone without geometry. */
  readonly residual?: ResidualSnapshot
  readonly steady: SteadyState
  /** Why nothing that needs steady running may be judged; undefined while it may. */
  readonly unjudged: string | undefined
  readonly aux: Readonly<Partial<Record<AuxRole, LiveSample>>>
}
