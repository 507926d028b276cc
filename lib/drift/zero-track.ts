import type { Side } from '../../shared/sample.ts'
import type { ZeroTrack } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { Moments } from '../statistics/moments.ts'
import { t95 } from '../statistics/student-t.ts'
import { MINUTE_MS, type MinuteSeries, minuteSeries } from './minute-series.ts'
import { medianOf } from './select.ts'
import type { ShiftOptions } from './shift-options.ts'

type ZeroPoint = ZeroTrack['sides'][number]['points'][number]

/** Minutes in which the web pulled on nothing: slack, or stopped with a total within the slack limit. A web that is held under tension while the machine stands is no zero. */
export function zeroMinutes(minutes: readonly ZoneMinute[], slackBelowN: number): ZoneMinute[] {
  return minutes.filter(
    ({ state, total }) =>
      state === 'slack' || (state === 'stopped' && total !== null && Math.abs(total) <= slackBelowN),
  )
}

/** Force of one side over the zero minutes. */
export function zeroSeries(zeros: readonly ZoneMinute[], side: Side): MinuteSeries {
  return minuteSeries(zeros, ({ force }) => force[side])
}

/** One point a stretch of zero minutes that follow one another. */
export function zeroTrackOf(zeros: readonly ZoneMinute[], { sides, spansN }: ShiftOptions): ZeroTrack {
  const stretches = stretchesOf(zeros)
  return {
    sides: sides.map((side) => ({
      side,
      spanN: spansN?.[side] ?? null,
      points: stretches.flatMap((stretch) => pointOf(stretch, side)),
    })),
    waiting: zeros.length > 0 ? null : 'Waits for a minute with the web slack or off.',
  }
}

/** Stretches of minutes that follow one another. */
export function stretchesOf(minutes: readonly ZoneMinute[]): ZoneMinute[][] {
  const stretches: ZoneMinute[][] = []
  for (const minute of minutes) {
    const open = stretches.at(-1)
    if (open !== undefined && open.at(-1)?.tMs === minute.tMs - MINUTE_MS) open.push(minute)
    else stretches.push([minute])
  }
  return stretches
}

/** Its U is from the scatter of its minutes, taken as independent: information, never judged. */
function pointOf(stretch: readonly ZoneMinute[], side: Side): ZeroPoint[] {
  const { y } = zeroSeries(stretch, side)
  const first = stretch[0]
  const last = stretch.at(-1)
  if (first === undefined || last === undefined || y.length === 0) return []
  const scatter = new Moments()
  for (const value of y) scatter.add(value)
  const { variance } = scatter
  const U = variance === undefined ? null : t95(y.length - 1) * Math.sqrt(variance / y.length)
  return [
    {
      fromMs: first.tMs,
      toMs: last.tMs + MINUTE_MS,
      minutes: y.length,
      value: medianOf(Float64Array.from(y)),
      U,
    },
  ]
}
