import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { medianOf } from './select.ts'

export const MINUTE_MS = 60_000
/** Most points of one series, so that what grows with their square stays cheap: 12 h of minutes. */
const MOST_POINTS = 720

/** One quantity of a zone over its minutes, gaps left out. */
export interface MinuteSeries {
  /** Middle of each point's stretch, epoch ms, growing. */
  readonly tMs: readonly number[]
  readonly y: readonly number[]
  /** Time from one point to the next where nothing is missing. */
  readonly widthMs: number
  /** Minutes behind the points; absent where each point is a minute. */
  readonly minutes?: number
}

/** How many minutes a series rests on: where there were too many for a point each, more than it has points. */
export const minutesBehind = ({ minutes, y }: MinuteSeries): number => minutes ?? y.length

/** A quantity of the minutes for which `of` tells a number. */
export function minuteSeries(
  minutes: readonly ZoneMinute[],
  of: (minute: ZoneMinute) => number | null | undefined,
): MinuteSeries {
  const tMs: number[] = []
  const y: number[] = []
  for (const minute of minutes) {
    const value = of(minute)
    if (value === null || value === undefined || !Number.isFinite(value)) continue
    tMs.push(minute.tMs + MINUTE_MS / 2)
    y.push(value)
  }
  return thinned({ tMs, y, widthMs: MINUTE_MS })
}

/** Medians of whole groups of minutes on an absolute grid, once there are more than `MOST_POINTS`. */
function thinned(series: MinuteSeries): MinuteSeries {
  const ran = (series.tMs.at(-1) ?? 0) - (series.tMs[0] ?? 0)
  if (series.y.length <= MOST_POINTS) return series
  const widthMs = MINUTE_MS * Math.ceil((ran / MINUTE_MS + 2) / MOST_POINTS)
  const tMs: number[] = []
  const y: number[] = []
  for (let from = 0; from < series.y.length; ) {
    const cell = Math.floor((series.tMs[from] as number) / widthMs)
    let to = from
    while (to < series.y.length && Math.floor((series.tMs[to] as number) / widthMs) === cell) to += 1
    tMs.push((cell + 0.5) * widthMs)
    y.push(medianOf(Float64Array.from(series.y.slice(from, to))))
    from = to
  }
  return { tMs, y, widthMs, minutes: series.y.length }
}

const MS_PER_HOUR = 3_600_000

/** Hours since the first point. */
export function hoursOf({ tMs }: MinuteSeries): number[] {
  const origin = tMs[0] ?? 0
  return tMs.map((t) => (t - origin) / MS_PER_HOUR)
}
