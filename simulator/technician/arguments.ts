import { z } from 'zod'
import { atAngle, length, times, type Vec2 } from '../physics/vector.ts'
import type { Bench, Side } from './bench.ts'

/** Arguments that several acts share, in a technician's units. */
export const side = z.enum(['drive_side', 'operator_side'])
/** Degrees counter-clockwise from downstream, as arrows_deg in the config. */
export const degrees = z.number().min(-360).max(360)

export const radians = (value: number): number => (value * Math.PI) / 180
export const inDegrees = (value: number): number => (value * 180) / Math.PI

export const SIDE_WORDS: Readonly<Record<Side, string>> = { drive_side: 'drive side', operator_side: 'operator side' }

/** Unit vector in a direction of degrees, or the way the web pulls on this roller. */
export function directionOf(bench: Bench, said: number | 'as the web pulls'): Vec2 {
  if (said !== 'as the web pulls') return atAngle(radians(said))
  const resultant = bench.machine.resultant(bench.zone)
  return times(resultant, 1 / length(resultant))
}

/** Seconds in a technician's words. */
export function inWords(seconds: number): string {
  if (seconds < 90) return `${Math.round(seconds)} s`
  return seconds < 5400 ? `${Math.round(seconds / 60)} min` : `${(seconds / 3600).toFixed(1)} h`
}

/** A direction as read off an inclinometer: degrees from vertical, and where it points and leans. rad ccw from downstream. */
export function directionWords(direction: number): string {
  const { x, y } = atAngle(direction)
  const off = inDegrees(Math.atan2(Math.abs(x), Math.abs(y)))
  const lean = off < 0.05 ? '' : `, leaning ${x > 0 ? 'downstream' : 'upstream'}`
  return `${off.toFixed(1)}° from vertical, pointing ${y > 0 ? 'up' : 'down'}${lean}`
}

/** The same direction within half a turn of nothing, degrees. */
export const wrapped = (value: number): number => value - 360 * Math.round(value / 360)

export const BOTH_SIDES: readonly Side[] = ['drive_side', 'operator_side']

/** Locked out, guards open: the state for hands at the roller. */
export const AT_THE_ROLLER = { power: ['locked out'], guards: 'open' } as const
/** Standing, instrument supply on: the state for work in the amplifier's cabinet. */
export const AT_THE_CABINET = { power: ['stopped', 'locked out'] } as const
