import { forcePerKilogram } from '../../../lib/calibration/known-force.ts'
import { ropeFactor, ropeWrap } from '../../../lib/calibration/rope.ts'
import { rollerOf } from '../../../lib/geometry/from-config.ts'
import { signedAngle } from '../../../lib/geometry/vector.ts'
import type { CalibrationRequestInput } from '../../../shared/schemas/compute-calibration.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import type { OffCentrePlace, Session, TypedFields } from './session.ts'

/** kg of one avoirdupois pound, exact (international yard and pound, 1959). */
const LB_KG = 0.453_592_37
/** Scatter under this is the rounding of numbers: a signal that shows none has told none. */
const ROUNDING = 1e-9
const DEGREE = Math.PI / 180
/** Air of 1.2 kg/m³ over weights of 8000 kg/m³ (OIML D 28), as the gateway takes it. */
const AIR_SHARE = 1.5e-4

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
      ...creepOf(session, side, view),
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

/** Intervals of a class on a cell's certificate (OIML R 60). */
const CELL_CLASSES = {
  C3: { letter: 'C', intervals: 3000 },
  C1: { letter: 'C', intervals: 1000 },
  D1: { letter: 'D', intervals: 1000 },
} as const

function creepOf({ hold, typed }: Session, side: string, { zone }: GeometryView) {
  const taken = (hold?.readings ?? []).flatMap(({ timeMs, readings }) => {
    const one = readings[side]
    return one === undefined || hold === null ? [] : [{ ...one, second: (timeMs - hold.startMs) / 1000 }]
  })
  const cell = zone.cells[side]
  if (hold === null || cell === undefined || taken.length === 0) return {}
  const squares = taken.reduce((sum, { u }) => sum + u * u, 0)
  // A mean of readings that never left one step lies anywhere in it.
  const u = Math.hypot(Math.sqrt(squares / taken.length), (cell.step ?? 0) / Math.sqrt(12))
  const held = { capacityN: cell.capacityN, load: kilograms(hold.mass, typed.massUnit) }
  return {
    creep: {
      seconds: taken.map(({ second }) => second),
      readings: taken.map(({ reading }) => reading),
      ...(u > ROUNDING ? { u } : {}),
      ...(typed.cellClass === 'none' ? {} : { cell: { ...CELL_CLASSES[typed.cellClass], ...held } }),
    },
  }
}

/** reading = zero + slope × force, of one side. */
export interface FoundLine {
  readonly zero: number
  readonly slope: number
  /** Of its scatter alone; null when nothing tells it. */
  readonly uSlope: number | null
}

/**
 * The off-centre check, asked together with the first side's calibration. Forces are by the lines that were just
 * found; the weight's own force is that of both sides together.
 */
export function offCentreFor(
  session: Session,
  view: GeometryView,
  first: Prepared | undefined,
  lines: Readonly<Partial<Record<'drive_side' | 'operator_side', FoundLine>>>,
): Prepared {
  const { drive_side: drive, operator_side: operator } = lines
  if (first === undefined || !first.ok || drive === undefined || operator === undefined)
    return missing('the lines of both sides: capture the bare roller and known weights first')
  const places = session.offCentre.filter(({ used }) => used)
  if (places.length === 0) return missing('nothing is captured yet')
  if (new Set(places.map(({ mass }) => mass)).size > 1) return missing('the same weight at every place in use')
  try {
    const { creep: _, ...request } = first.request
    return { ok: true, request: { ...request, offCentre: offCentreOf(session, view, places, drive, operator) } }
  } catch (error) {
    return missing(error instanceof Error ? error.message : String(error))
  }
}

function offCentreOf(
  { typed }: Session,
  view: GeometryView,
  places: readonly OffCentrePlace[],
  drive: FoundLine,
  operator: FoundLine,
): NonNullable<CalibrationRequestInput['offCentre']> {
  const { cellDistanceM } = view.zone
  if (cellDistanceM === null) throw new Error('the distance between the cells: the config has no cell_distance_m')
  const forceOf = ({ zero, slope }: FoundLine, reading = Number.NaN) => (reading - zero) / slope
  const readings = places.map(({ placeMm, readings: taken }) => {
    const [ds, os] = [taken.drive_side, taken.operator_side]
    const u = Math.max(...[drive, operator].map(({ slope }, i) => readingU(i === 0 ? ds : os, view) / Math.abs(slope)))
    return {
      position: placeMm / 1000,
      driveSideN: forceOf(drive, ds?.reading),
      operatorSideN: forceOf(operator, os?.reading),
      ...(u > ROUNDING ? { u } : {}),
    }
  })
  return {
    readings,
    force: forceOfBoth(typed, view, kilograms(places[0]?.mass ?? 0, typed.massUnit), [drive, operator]),
    cellDistance: { value: cellDistanceM, u: need(typed.uDistanceMm, 'u of the distance between the cells', 0) / 1000 },
    uPosition: need(typed.uPlaceMm, 'u of the rope’s places', 0) / 1000,
  }
}

const readingU = (taken: { readonly u: number } | undefined, { zone }: GeometryView): number =>
  Math.hypot(taken?.u ?? 0, Math.max(...Object.values(zone.cells).map(({ step }) => step ?? 0)) / Math.sqrt(12))

/**
 * Both sides together carry all of it, wherever the rope is; their force factors may differ a little. The lines were
 * found with the same gravity and force factor, so these cancel (JCGM 100, 5.2.2): the mass and the lines' own scatter stay.
 */
function forceOfBoth(typed: TypedFields, view: GeometryView, mass: number, lines: readonly FoundLine[]) {
  const exact = (value: number) => ({ value, u: 0 })
  const [drive, operator] = [factorValue(typed, 'drive_side', view), factorValue(typed, 'operator_side', view)]
  const { newtons } = forcePerKilogram({
    gravity: exact(need(typed.gravity, 'local gravity', 9.7)),
    factor: exact((drive + operator) / 2),
    share: exact(1),
    uMassRelative: 0,
    airShare: AIR_SHARE,
  })
  const scatter = Math.hypot(...lines.map(({ slope, uSlope }) => (uSlope ?? 0) / slope)) / lines.length
  const ofMass = need(typed.uMassPercent, 'u of the weights', 0) / 100
  return { value: mass * newtons, u: Math.abs(mass * newtons) * Math.hypot(ofMass, scatter) }
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
