import type { Change } from '../../shared/schemas/shift.ts'
import type { ZoneMinute } from '../../shared/schemas/zone-minute.ts'
import { differenceUnit } from '../statistics/difference-unit.ts'
import { effectiveDof } from '../statistics/effective-dof.ts'
import { plusMinus } from '../statistics/plus-minus.ts'
import { expandedUncertainty } from '../uncertainty/coverage-factor.ts'
import { type MinuteMean, meanOfMinutes } from './mean-of-minutes.ts'
import { minuteSeries } from './minute-series.ts'
import type { ShiftOptions } from './shift-options.ts'
import { zeroMinutes } from './zero-track.ts'

/** Minutes of two stretches, those that are judged and those that tell the zero. */
export interface Stretch {
  readonly judged: readonly ZoneMinute[]
  readonly zeros: readonly ZoneMinute[]
}

export function stretchOf(minutes: readonly ZoneMinute[], { slackBelowN }: ShiftOptions): Stretch {
  return {
    judged: minutes.filter(({ state }) => state === 'steady' || state === 'assumed'),
    zeros: zeroMinutes(minutes, slackBelowN),
  }
}

type Tells = (minute: ZoneMinute) => number | null | undefined
interface Row {
  readonly what: Change['what']
  readonly unit: string
  readonly of: Tells
  readonly minutes: keyof Stretch
}

/**
 * What changed from one stretch to another beyond its uncertainty: difference of the means of steady (or zero) minutes,
 * |d| against U = k·√(u₁² + u₂²), each u from the stretch's own wander. What does not move between the two (gain, geometry)
 * cancels as long as the config did not change it.
 */
export function changesOf(before: Stretch, after: Stretch, options: ShiftOptions): Change[] {
  return rowsOf(options).map((row) => {
    const [first, second] = [before, after].map((stretch) => meanOfMinutes(minuteSeries(stretch[row.minutes], row.of)))
    return changeOf(row, first, second)
  })
}

function rowsOf({ sides, hasGeometry }: ShiftOptions): Row[] {
  const judged = (what: Row['what'], unit: string, of: Tells): Row => ({ what, unit, of, minutes: 'judged' })
  return [
    ...(hasGeometry ? [judged('agreement', '%', ({ residual }) => residual)] : []),
    ...(sides.length === 2 ? [judged('side_difference', '%', ({ imbalance }) => imbalance)] : []),
    judged('total', 'N', ({ total }) => total),
    ...sides.map((side) => judged(`noise_${side}`, 'N', ({ noise }) => noise[side])),
    ...sides.map(
      (side): Row => ({ what: `zero_${side}`, unit: 'N', of: ({ force }) => force[side], minutes: 'zeros' }),
    ),
    judged('speed', 'm/s', ({ speed }) => speed),
    judged('reference', 'N', ({ reference }) => reference),
    judged('temperature', '°C', ({ temperature }) => temperature),
  ]
}

function changeOf({ what, unit, minutes }: Row, before: MinuteMean | undefined, after: MinuteMean | undefined): Change {
  const common = { what, unit, before: shown(before), after: shown(after) }
  if (before === undefined || after === undefined) {
    const which = before === undefined ? 'the earlier stretch' : 'this one'
    const kind = minutes === 'zeros' ? 'minutes with a slack web' : 'steady minutes that tell it'
    return { ...common, difference: null, state: 'unknown', sentence: `Unknown: fewer than ten ${kind} in ${which}.` }
  }
  const value = after.value - before.value
  const u = Math.hypot(before.u, after.u)
  const { U } = expandedUncertainty(u, effectiveDof([before, after]))
  const isChanged = Math.abs(value) > U
  const told = `${value > 0 ? '+' : ''}${plusMinus(value, U)} ${differenceUnit(unit)}`
  return {
    ...common,
    difference: { value, U },
    state: isChanged ? 'changed' : 'not-told-apart',
    sentence: isChanged ? `Changed by ${told}.` : `No change beyond its uncertainty: ${told}.`,
  }
}

const shown = (mean: MinuteMean | undefined): Change['before'] =>
  mean === undefined ? null : { value: mean.value, U: expandedUncertainty(mean.u, mean.dof).U, minutes: mean.minutes }
