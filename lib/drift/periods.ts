import type { Period } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { MINUTE_MS } from './minute-series.ts'

/** Minutes of one state run together from `fromMs` to `toMs`; where none was kept, `missing`. */
export function periodsOf(minutes: readonly ZoneMinute[], fromMs: number, toMs: number): Period[] {
  const periods: Period[] = []
  const add = (state: Period['state'], from: number, to: number, count: number): void => {
    const last = periods.at(-1)
    if (last?.state === state && last.toMs === from) {
      periods[periods.length - 1] = { ...last, toMs: to, minutes: last.minutes + count }
    } else periods.push({ state, fromMs: from, toMs: to, minutes: count })
  }
  // Whole minutes alone are missed: what is cut off at either end is no hole.
  let at = Math.ceil(fromMs / MINUTE_MS) * MINUTE_MS
  const fill = (to: number): void => {
    const missing = Math.floor((to - at) / MINUTE_MS)
    if (missing > 0) add('missing', at, at + missing * MINUTE_MS, missing)
  }
  for (const { tMs, state } of minutes) {
    fill(tMs)
    add(state, tMs, tMs + MINUTE_MS, 1)
    at = tMs + MINUTE_MS
  }
  fill(toMs)
  return periods
}
