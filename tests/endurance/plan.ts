/** What is done to the gateway, and when, as a part of the whole run. */
export type ActKind =
  | 'stop'
  | 'kill'
  | 'disk-low'
  | 'disk-again'
  | 'broker-gone'
  | 'broker-back'
  | 'clock-forward'
  | 'clock-back'

export interface Act {
  readonly at: number
  readonly kind: ActKind
}

/** Stops and kills at both ends; between them one long stretch in which memory and handles are watched. */
export const ACTS: readonly Act[] = [
  { at: 0.03, kind: 'stop' },
  { at: 0.06, kind: 'kill' },
  { at: 0.09, kind: 'kill' },
  { at: 0.12, kind: 'stop' },
  { at: 0.3, kind: 'disk-low' },
  { at: 0.33, kind: 'disk-again' },
  { at: 0.45, kind: 'broker-gone' },
  { at: 0.5, kind: 'broker-back' },
  { at: 0.6, kind: 'clock-forward' },
  { at: 0.65, kind: 'clock-back' },
  { at: 0.92, kind: 'kill' },
  { at: 0.96, kind: 'stop' },
]

/** The long stretch, and the part of it that is taken for warming up. */
export const STRETCH = { from: 0.12, to: 0.92 }
export const WARM_UP = 0.2

/** How long the machine is off at a stop or a kill, and how far the wall clock is set. */
export const OFF_MS = 120_000
export const CLOCK_STEP_MS = 3_600_000

/** Why samples are missing in a range. */
export interface Explanation {
  readonly fromMs: number
  readonly toMs: number
  readonly why: string
}

export interface ExplainedGap {
  readonly channel: string
  readonly fromMs: number
  readonly toMs: number
  /** Null: nobody knows. */
  readonly why: string | null
}

/** Each gap with the plan's reason for it: one that reaches out of every planned range is unexplained. */
export function explain(
  gaps: readonly { readonly channel: string; readonly fromMs: number; readonly toMs: number }[],
  planned: readonly Explanation[],
): ExplainedGap[] {
  return gaps.map((gap) => ({
    ...gap,
    why: planned.find(({ fromMs, toMs }) => gap.fromMs >= fromMs && gap.toMs <= toMs)?.why ?? null,
  }))
}
