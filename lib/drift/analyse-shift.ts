import type { ControlChart, ShiftAnalysis } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { allanOf } from './averaging-time.ts'
import { changesOf, type Stretch, stretchOf } from './compare.ts'
import { chartsOf } from './control-chart.ts'
import { correlationsOf } from './correlations.ts'
import { MINUTE_MS } from './minute-series.ts'
import { periodsOf } from './periods.ts'
import type { ShiftOptions } from './shift-options.ts'
import { spanDrift } from './span-figure.ts'
import { stepsOf } from './step-findings.ts'
import { type Tracked, trackedOf } from './tracked.ts'
import { zeroDrifts } from './zero-drifts.ts'
import { zeroTrackOf } from './zero-track.ts'

/** Minutes of one zone, oldest first, of a stretch of time and of an earlier one to compare with. */
export interface ShiftInput {
  readonly fromMs: number
  readonly toMs: number
  readonly minutes: readonly ZoneMinute[]
  /** The present, where it is known: a minute that has not come yet is none that is missing. */
  readonly nowMs?: number
  readonly baseline?: {
    readonly fromMs: number
    readonly toMs: number
    readonly minutes: readonly ZoneMinute[]
  }
}

/** What has moved in a shift, and by how much beyond its uncertainty. Where the minutes came from, the gateway adds. */
export type ShiftFindings = Omit<ShiftAnalysis, 'source' | 'sourceSentence'>

/**
 * The whole analysis of one zone over a stretch: what drifts, what stepped, what is in control, how long to average, what
 * goes with what. Steady minutes alone are judged; slack ones tell the zero. Cheap enough to be made anew each time.
 */
export function analyseShift(input: ShiftInput, options: ShiftOptions): ShiftFindings {
  const { fromMs, toMs, minutes } = input
  const goneMs = Math.min(toMs, input.nowMs ?? toMs)
  const stretch = stretchOf(minutes, options)
  const tracked = trackedOf(stretch, options)
  return {
    zone: options.zone,
    fromMs,
    toMs,
    minutes: {
      asked: Math.max(0, Math.floor(goneMs / MINUTE_MS) - Math.ceil(fromMs / MINUTE_MS)),
      kept: minutes.length,
      judged: stretch.judged.length,
    },
    steadiness: steadinessOf(stretch),
    periods: periodsOf(minutes, fromMs, goneMs),
    drifts: [
      ...tracked.map(({ drift }) => drift),
      ...(options.hasGeometry ? [spanDrift(stretch, tracked, options)] : []),
      ...zeroDrifts(stretch, options),
    ],
    steps: tracked.flatMap((one) => stepsOf(one, minutes)),
    charts: tracked.flatMap(chartsOfTracked),
    allan: tracked.map(allanOf),
    correlations: tracked.flatMap(({ spec }) => correlationsOf(spec, stretch)),
    zero: zeroTrackOf(stretch.zeros, options),
    baseline: baselineOf(input, stretch, options),
  }
}

function steadinessOf({ judged }: Stretch): ShiftAnalysis['steadiness'] {
  if (judged.length === 0) return 'none'
  return judged.some(({ state }) => state === 'assumed') ? 'assumed' : 'steady'
}

function chartsOfTracked({ spec, series, estimate }: Tracked): ControlChart[] {
  if (estimate === undefined) return []
  return chartsOf({ quantity: spec.quantity, unit: spec.unit, series, longRun: estimate.longRun })
}

function baselineOf({ baseline }: ShiftInput, after: Stretch, options: ShiftOptions): ShiftAnalysis['baseline'] {
  if (baseline === undefined) return null
  const { fromMs, toMs, minutes } = baseline
  const before = stretchOf(minutes, options)
  return {
    fromMs,
    toMs,
    minutes: minutes.length,
    judged: before.judged.length,
    changes: changesOf(before, after, options),
  }
}
