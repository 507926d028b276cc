import { type Propagated, propagateOne } from '../uncertainty/propagate.ts'
import type { Input, Uncertain } from '../uncertainty/uncertain.ts'
import { degrees, dot, length, radians, signedAngle, subtract, times, unitAt, type Vector } from './vector.ts'

/** The real arrow of a cell, found from its readings, or why it cannot be found this way. */
export type FoundArrow =
  | {
      readonly found: true
      /** δ with its standard uncertainty and budget, rad, counter-clockwise from the bisector given; of the arrow's line. */
      readonly offBisector: Propagated
      /** rad counter-clockwise from +x; the way the signal rises. */
      readonly arrow: number
      /** The signal falls when the web pulls: the arrow is turned by half a turn, or the polarity is swapped. */
      readonly reversed: boolean
    }
  | { readonly found: false; readonly why: NotFound; readonly sentence: string }

export type NotFound = 'bisector-near-vertical' | 'ropes-too-alike' | 'no-response' | 'too-uncertain'

/** Nearer to the vertical than this, gravity pulls along the bisector and tells nothing of δ, rad (10°; common practice). */
export const VERTICAL_WITHIN = radians(10)

/** A standard uncertainty over this says nothing about a limit of ±2°, rad (5°; common practice, no source). */
export const USELESS_OVER = radians(5)

/** Two rope directions closer than this pull alike, rad (10°; common practice, no source). */
export const ALIKE_WITHIN = radians(10)

export interface GravityReadings {
  /** Of one cell, in one unit: before the roller is set down (or lifted off), with it, and with the known weight too. */
  readonly noLoad: Uncertain
  readonly rollerOn: Uncertain
  readonly knownWeight: Uncertain
  /** This side's share of the bare roller's weight, and of the rope's tension m·g, N. */
  readonly rollerForce: Uncertain
  readonly ropeTension: Uncertain
  /** Wrap of the rope on the roller and its bisector, rad (along the rope's centre line). */
  readonly wrap: Uncertain
  readonly bisector: Uncertain
}

/**
 * The arrow from gravity and a known weight of one cell. With R the ratio of the two responses, φ from straight down
 * to the bisector and c = roller force/(rope tension · 2 sin(θ/2)): tan δ = (cos φ − R/c)/sin φ, u(δ) by linear
 * propagation of every reading and angle.
 *
 * Sensitivity cancels in R; zero balance does not, hence the no-load reading. With the bisector near vertical sin φ
 * vanishes and nothing can be found. Source: projection of weight and belt resultant on the arrow.
 */
export function arrowFromGravity(readings: GravityReadings): FoundArrow {
  const { noLoad, rollerOn, knownWeight, rollerForce, ropeTension, wrap, bisector } = readings
  const fromDown = signedAngle(bisector.value + Math.PI / 2)
  const fromVertical = Math.min(Math.abs(fromDown), Math.PI - Math.abs(fromDown))
  if (fromVertical < VERTICAL_WITHIN)
    return notFound(
      'bisector-near-vertical',
      `it cannot be found this way: the bisector is ${degrees(fromVertical).toFixed(0)}° from vertical, where the roller’s weight says nothing about the arrow; use the inclinometer or two rope directions`,
    )
  const response = knownWeight.value - rollerOn.value
  if (Math.abs(response) <= 2 * Math.hypot(knownWeight.u, rollerOn.u) || response === 0) return noResponse()
  const inputs: readonly Input[] = [
    { name: 'reading without roller', unit: 'reading', ...noLoad },
    { name: 'reading with roller', unit: 'reading', ...rollerOn },
    { name: 'reading with known weight', unit: 'reading', ...knownWeight },
    { name: 'roller’s weight on this side', unit: 'N', ...rollerForce },
    { name: 'rope tension on this side', unit: 'N', ...ropeTension },
    { name: 'wrap of the rope', unit: 'rad', ...wrap },
    { name: 'bisector of the rope', unit: 'rad', ...bisector },
  ]
  const off = propagateOne(([none = 0, on = 0, hung = 0, roller = 0, rope = 0, theta = 0, beta = 0]) => {
    const phi = beta + Math.PI / 2
    const ratio = (on - none) / (hung - on)
    const c = roller / (rope * 2 * Math.sin(theta / 2))
    return Math.atan((Math.cos(phi) - ratio / c) / Math.sin(phi))
  }, inputs)
  return usable(off, bisector.value, response < 0)
}

/** A rope over the roller: the directions in which it arrives and leaves as the web would, rad, and its tension, N. */
export interface RopeSetting {
  readonly reading: Uncertain
  readonly arriving: Uncertain
  readonly leaving: Uncertain
  readonly tension: Uncertain
}

/**
 * The arrow from known weights along two rope directions, of one cell: with d₁, d₂ the ropes' forces on the roller and
 * ρ the ratio of the responses, a·(d₁ − ρ d₂) = 0. Offset and sensitivity both cancel. The same weight used twice has
 * one tension: give it to the first rope and 'same' to the second.
 *
 * @param bareReading with the roller and no rope · @param bisector of the web, from which δ is told, rad
 * Source: projection of two forces on one axis.
 */
export function arrowFromTwoRopes(
  bareReading: Uncertain,
  first: RopeSetting,
  second: Omit<RopeSetting, 'tension'> & { readonly tension: Uncertain | 'same' },
  bisector: number,
): FoundArrow {
  const pullOf = (arriving: number, leaving: number): Vector => subtract(unitAt(leaving), unitAt(arriving))
  const d1 = pullOf(first.arriving.value, first.leaving.value)
  const d2 = pullOf(second.arriving.value, second.leaving.value)
  const between = Math.asin(Math.min(1, Math.abs(d1.x * d2.y - d1.y * d2.x) / (length(d1) * length(d2))))
  if (!(between >= ALIKE_WITHIN))
    return notFound(
      'ropes-too-alike',
      `it cannot be found this way: the two ropes pull within ${degrees(ALIKE_WITHIN).toFixed(0)}° of the same line`,
    )
  const response1 = first.reading.value - bareReading.value
  const response2 = second.reading.value - bareReading.value
  if (Math.hypot(response1, response2) <= 2 * Math.hypot(bareReading.u, first.reading.u, second.reading.u))
    return noResponse()
  const tension2 = second.tension === 'same' ? first.tension : second.tension
  const inputs: readonly Input[] = [
    { name: 'reading without rope', unit: 'reading', ...bareReading },
    { name: 'reading with the first rope', unit: 'reading', ...first.reading },
    { name: 'reading with the second rope', unit: 'reading', ...second.reading },
    { name: 'first rope, arriving', unit: 'rad', ...first.arriving },
    { name: 'first rope, leaving', unit: 'rad', ...first.leaving },
    { name: 'second rope, arriving', unit: 'rad', ...second.arriving },
    { name: 'second rope, leaving', unit: 'rad', ...second.leaving },
    {
      name: 'tension of the second rope over the first',
      unit: '1',
      ...ratioOf(tension2, first.tension, second.tension),
    },
  ]
  // r₂ d₁ − r₁ d₂ is square to the arrow's line; the line is told by its angle from the bisector, within ± a quarter turn.
  const square = ([bare = 0, r1 = 0, r2 = 0, in1 = 0, out1 = 0, in2 = 0, out2 = 0, weights = 1]: readonly number[]) =>
    subtract(times(pullOf(in1, out1), r2 - bare), times(pullOf(in2, out2), weights * (r1 - bare)))
  const nominal = square(inputs.map(({ value }) => value))
  const line = Math.atan2(nominal.x, -nominal.y)
  const lineOff = Math.atan(Math.tan(line - bisector))
  const off = propagateOne((x) => {
    const s = square(x)
    return lineOff + Math.atan(Math.tan(Math.atan2(s.x, -s.y) - line))
  }, inputs)
  const rises = response1 * dot(unitAt(bisector + lineOff), d1) + response2 * dot(unitAt(bisector + lineOff), d2)
  return usable(off, bisector, rises < 0)
}

function ratioOf(over: Uncertain, under: Uncertain, given: Uncertain | 'same'): Uncertain {
  if (given === 'same') return { value: 1, u: 0 }
  const value = over.value / under.value
  return { value, u: Math.abs(value) * Math.hypot(over.u / over.value, under.u / under.value) }
}

function usable(offBisector: Propagated, bisector: number, reversed: boolean): FoundArrow {
  if (!(offBisector.u <= USELESS_OVER))
    return notFound(
      'too-uncertain',
      `it cannot be found this way: u(δ) would be ${degrees(offBisector.u).toFixed(1)}°; a heavier weight, or the inclinometer, can`,
    )
  const arrow = signedAngle(bisector + offBisector.value + (reversed ? Math.PI : 0))
  return { found: true, offBisector, arrow, reversed }
}

const notFound = (why: NotFound, sentence: string): FoundArrow => ({ found: false, why, sentence })
const noResponse = (): FoundArrow =>
  notFound('no-response', 'it cannot be found this way: the known weight made no signal that can be told from none')
