import type { Step } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { plusMinus } from '../statistics/plus-minus.ts'
import type { Tracked } from './tracked.ts'

/** The steps of a quantity in words, each with the revision of the config that came into force with it. */
export function stepsOf({ spec, series, steps }: Tracked, minutes: readonly ZoneMinute[]): Step[] {
  const { quantity, unit } = spec
  return steps.map(({ index, size, U }) => {
    const timeMs = (series.tMs[index] ?? 0) - series.widthMs / 2
    const revision = revisionAt(minutes, timeMs, series.widthMs)
    const what = `Stepped by ${size > 0 ? '+' : ''}${plusMinus(size, U)} ${unit} within a few minutes`
    const because = revision === null ? '' : `, when revision ${revision} of the config came into force`
    return { quantity, timeMs, size, U, unit, revision, sentence: `${what}${because}.` }
  })
}

/** A step is placed to a few minutes only. */
const NEAR_POINTS = 3

function revisionAt(minutes: readonly ZoneMinute[], timeMs: number, widthMs: number): string | null {
  const near = minutes.filter(({ tMs }) => Math.abs(tMs - timeMs) <= NEAR_POINTS * widthMs)
  const [first] = near
  return near.find(({ revision }) => revision !== first?.revision)?.revision ?? null
}
