import { ropeFactor, ropeWrap } from '../../../lib/calibration/rope.ts'
import { rollerOf } from '../../../lib/geometry/from-config.ts'
import { signedAngle } from '../../../lib/geometry/vector.ts'
import type { CalibrationRequestInput } from '../../../shared/schemas/compute-calibration.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import type { Session, TypedFields } from './session.ts'
import { typedNumber } from './typed-number.ts'

/** kg of one avoirdupois pound, exact (international yard and pound, 1959). */
const LB_KG = 0.453_592_37
/** Scatter under this is the rounding of numbers: a signal that shows none has told none. */
const ROUNDING = 1e-9
const DEGREE = Math.PI / 180

export const kilograms = (mass: number, unit: 'kg' | 'lb'): number => (unit === 'kg' ? mass : mass * LB_KG)

/** What a computation is asked with, or what is still missing for it, in words. */
export type Prepared =
  | { readonly ok: true; readonly request: CalibrationRequestInput }
  | { readonly ok: false; readonly missing: string }

/** Request for one side of a zone, from what was typed and captured. */
export function requestFor(session: Session, side: string, view: GeometryView): Prepared {
  const cell = view.zone.cells[side]
  if (cell === undefined) return missing('this zone has no such side')
  const readings = session.points.flatMap(({ used, cycle, direction, mass, massUnit, readings: taken }) => {
    const reading = taken[side]
    if (!used || reading === undefined) return []
    const load = kilograms(mass, massUnit)
    return [{ cycle, direction, load, reading: reading.reading, ...(reading.u > ROUNDING ? { u: reading.u } : {}) }]
  })
  if (readings.length === 0) return missing('nothing is captured yet')
  try {
    const request: CalibrationRequestInput = {
      unit: cell.electricalUnit ?? 'counts',
      loads: loadsOf(session.typed, side, view),
      readings,
      resolution: cell.step ?? 0,
      ...spanOf(session.typed),
      ...expectedOf(session.typed),
    }
    return { ok: true, request }
  } catch (error) {
    return missing(error instanceof Error ? error.message : String(error))
  }
}

const missing = (words: string): Prepared => ({ ok: false, missing: words })

/** Typed, and at least `least`; says which field it is when not. */
function need(text: string, words: string, least: number): number {
  const value = typedNumber(text)
  if (value === null || value < least)
    throw new Error(`${words}: ${text.trim() === '' ? 'not typed yet' : 'not a number that fits'}`)
  return value
}

function loadsOf(typed: TypedFields, side: string, view: GeometryView): CalibrationRequestInput['loads'] {
  return {
    kind: 'mass',
    gravity: { value: need(typed.gravity, 'local gravity', 9.7), u: need(typed.uGravity, 'u of local gravity', 0) },
    factor: factorOf(typed, side, view),
    share: shareOf(typed, view),
    uMassPercent: need(typed.uMassPercent, 'u of the weights', 0),
  }
}

type MassLoads = Extract<CalibrationRequestInput['loads'], { kind: 'mass' }>

function factorOf(typed: TypedFields, side: string, view: GeometryView): MassLoads['factor'] {
  const relative = need(typed.uFactorPercent, 'u of the force factor', 0) / 100
  const value = factorValue(typed, side, view)
  return { kind: 'given', value, u: Math.abs(value) * relative }
}

/** Where the rope's force factor comes from: the zone's geometry unless chosen otherwise, a typed number where there is none. */
export function factorSource({ factorFrom }: TypedFields, { geometry }: GeometryView): TypedFields['factorFrom'] {
  return factorFrom === 'geometry' && geometry === null ? 'typed' : factorFrom
}

/** Newtons along the arrow, both sides together, per newton of rope. Throws Error naming what is missing. */
export function factorValue(typed: TypedFields, side: string, view: GeometryView): number {
  const exact = (value: number) => ({ value, u: 0 })
  switch (factorSource(typed, view)) {
    case 'typed':
      return need(typed.factor, 'force factor of the rope', 1e-6)
    case 'wrap': {
      const wrap = need(typed.wrapDeg, 'wrap of the rope', 1) * DEGREE
      return ropeFactor(exact(wrap), exact(need(typed.offDeg, 'arrow off the bisector', -180) * DEGREE)).value
    }
    case 'geometry': {
      const { wrap, off } = ropeOnRollers(typed, side, view)
      return ropeFactor(exact(wrap), exact(off)).value
    }
  }
}

/** The rope runs over the same three rollers as the web, half its diameter outside each. */
function ropeOnRollers(typed: TypedFields, side: string, { geometry }: GeometryView) {
  const [before, after] = [geometry?.rollers.before.at(-1), geometry?.rollers.after[0]]
  const arrow = (geometry?.arrows_deg as Record<string, number> | undefined)?.[side]
  if (geometry === null || before === undefined || after === undefined || arrow === undefined)
    throw new Error('force factor: this zone has no geometry; type the factor or the wrap')
  const diameter = need(typed.ropeMm, 'diameter of the rope', 0) / 1000
  const { bisector, angle } = ropeWrap(
    rollerOf(before),
    rollerOf(geometry.rollers.measuring),
    rollerOf(after),
    diameter,
  )
  return { wrap: angle, off: signedAngle(arrow * DEGREE - bisector) }
}

/** Half for each of two cells with the rope at mid-span; ±e of it moves e/L from one to the other. */
function shareOf({ ropeOffMm }: TypedFields, { zone }: GeometryView): MassLoads['share'] {
  if (Object.keys(zone.cells).length === 1) return { value: 1, u: 0 }
  const off = need(ropeOffMm, 'u of the rope’s place', 0) / 1000
  if (zone.cellDistanceM === null)
    throw new Error('share of each side: the config has no cell_distance_m for this zone')
  return { value: 0.5, u: off / zone.cellDistanceM }
}

function spanOf({ spanN }: TypedFields) {
  const span = typedNumber(spanN)
  return span === null || span <= 0 ? {} : { spanN: span }
}

function expectedOf({ expectedForce, expectedRise, uExpectedPercent }: TypedFields) {
  const [force, rise, u] = [typedNumber(expectedForce), typedNumber(expectedRise), typedNumber(uExpectedPercent)]
  if (force === null || rise === null || u === null || rise === 0 || force === 0 || u < 0) return {}
  const value = force / rise
  return { expectedGain: { value, u: Math.abs(value) * (u / 100) } }
}

/** One reading as the record of a revision has it. */
export function recordPoints(session: Session, side: string, newtonsPerKilogram: number) {
  return session.points.flatMap(({ id: _, readings, ...point }) => {
    const taken = readings[side]
    if (taken === undefined) return []
    return [{ ...point, forceN: kilograms(point.mass, point.massUnit) * newtonsPerKilogram, ...taken }]
  })
}

/** The same for a picture, by the number of the point. */
export function plotPoints(session: Session, side: string, newtonsPerKilogram: number) {
  return session.points.flatMap(({ id, mass, massUnit, direction, used, readings }) => {
    const reading = readings[side]?.reading
    if (reading === undefined) return []
    return [{ id, direction, used, reading, force: kilograms(mass, massUnit) * newtonsPerKilogram }]
  })
}
