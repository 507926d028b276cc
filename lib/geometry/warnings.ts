import type { Side } from '../../shared/sample.ts'
import { FILM_FLOATS, FILM_PARTS } from './air-film.ts'
import type { LoadCase } from './capacity.ts'
import { TOO_LARGE_UNDER } from './capacity.ts'
import type { OperatingState, ZoneGeometry } from './description.ts'
import type { Expected } from './expected.ts'
import type { ForceInputs } from './forces.ts'
import { SMALL_WRAP } from './sensitivity.ts'
import { END_CLEARANCE } from './shaft-growth.ts'
import { entriesOf, ofSide } from './sided.ts'
import { OUTPUT_LIMITS } from './signal.ts'
import { radians, signedAngle } from './vector.ts'
import { spanClearance } from './wrap.ts'

/** What is risky in a layout that can be, with the figures behind it. SI; angles in rad; shares of 1. */
export type GeometryWarning =
  | { readonly code: 'wrap-small'; readonly wrap: number; readonly limit: number }
  | { readonly code: 'arrow-off-target'; readonly side: Side; readonly off: number; readonly limit: number }
  | { readonly code: 'arrow-against-pull'; readonly side: Side; readonly off: number }
  | { readonly code: 'arrow-across-pull'; readonly side: Side; readonly loss: number; readonly limit: number }
  | { readonly code: 'arrows-differ'; readonly by: number; readonly limit: number }
  | {
      readonly code: 'over-capacity'
      readonly side: Side
      readonly in: LoadCase
      readonly force: number
      readonly capacity: number
    }
  | { readonly code: 'cell-too-large'; readonly side: Side; readonly use: number; readonly limit: number }
  | {
      readonly code: 'signal-under-range'
      readonly side: Side
      readonly in: LoadCase
      readonly signal: number
      readonly limit: number
    }
  | {
      readonly code: 'signal-over-range'
      readonly side: Side
      readonly in: LoadCase
      readonly signal: number
      readonly limit: number
    }
  | { readonly code: 'side-unloaded'; readonly side: Side; readonly lineOfPull: number }
  | { readonly code: 'growth-over-clearance'; readonly growth: number; readonly left: number }
  | { readonly code: 'clearance-unusual'; readonly clearance: number; readonly least: number; readonly most: number }
  | { readonly code: 'web-lifts'; readonly momentum: number; readonly tension: number }
  | { readonly code: 'air-film'; readonly ratio: number; readonly floats: boolean }
  | { readonly code: 'roller-may-slip'; readonly needed: number; readonly friction: number }
  | {
      readonly code: 'span-through-roller'
      readonly span: 'incoming' | 'outgoing'
      readonly roller: string
      readonly depth: number
    }

/** An arrow within this of its target is right, rad (2°; common practice, no source). */
export const ARROW_LIMIT = radians(2)

/** An arrow that loses more of the signal than this (60° off) measures little of the web (common practice, no source). */
const ACROSS_LIMIT = 0.5

type Told = Omit<Expected, 'warnings'>

/** Every warning that a layout in a state deserves, the most basic first. */
export function warningsOf(
  told: Told,
  geometry: ZoneGeometry,
  state: OperatingState,
  inputs: ForceInputs,
): GeometryWarning[] {
  return [
    ...wrapWarnings(told, inputs),
    ...arrowWarnings(told),
    ...cellWarnings(told, geometry),
    ...fitWarnings(told, geometry),
    ...webWarnings(told, geometry, state),
  ]
}

function wrapWarnings({ wrap }: Told, { before, after }: ForceInputs): GeometryWarning[] {
  const small: GeometryWarning[] =
    wrap.angle < SMALL_WRAP ? [{ code: 'wrap-small', wrap: wrap.angle, limit: SMALL_WRAP }] : []
  const crossed = (
    [
      ['incoming', after],
      ['outgoing', before],
    ] as const
  ).flatMap(([span, roller]): GeometryWarning[] => {
    const clearance = spanClearance(wrap[span], roller)
    // A belt round two rollers touches its own neighbour: that is no crossing.
    return clearance < -1e-9 * roller.radius
      ? [{ code: 'span-through-roller', span, roller: roller.name, depth: -clearance }]
      : []
  })
  return [...small, ...crossed]
}

function arrowWarnings({ sides }: Told): GeometryWarning[] {
  const each = entriesOf(sides).flatMap(([side, { offTarget, offBisector, loss }]): GeometryWarning[] => {
    if (Math.abs(offBisector) > Math.PI / 2) return [{ code: 'arrow-against-pull', side, off: offBisector }]
    return [
      ...(Math.abs(offTarget) > ARROW_LIMIT
        ? [{ code: 'arrow-off-target', side, off: offTarget, limit: ARROW_LIMIT } as const]
        : []),
      ...(loss > ACROSS_LIMIT ? [{ code: 'arrow-across-pull', side, loss, limit: ACROSS_LIMIT } as const] : []),
    ]
  })
  if ('single' in sides) return each
  const by = Math.abs(signedAngle(sides.operator_side.arrow - sides.drive_side.arrow))
  return by > ARROW_LIMIT ? [...each, { code: 'arrows-differ', by, limit: ARROW_LIMIT }] : each
}

function cellWarnings({ sides }: Told, { cells, load, cellDistance }: ZoneGeometry): GeometryWarning[] {
  return entriesOf(sides).flatMap(([side, { capacity: cases, smallestUse }]): GeometryWarning[] => {
    const { capacity, chain } = ofSide(cells, side)
    const limits = OUTPUT_LIMITS[chain.kind]
    const over = cases.filter(({ ofCapacity }) => ofCapacity > 1)
    // The overload case is for the cell to survive, not for the output to tell.
    const told = cases.filter(({ name }) => name !== 'overload')
    const firstOver = over[0]
    const under = told.find(({ output }) => output === 'under')
    const above = told.find(({ output }) => output === 'over')
    return [
      ...(firstOver === undefined
        ? []
        : [{ code: 'over-capacity', side, in: firstOver.name, force: firstOver.force, capacity } as const]),
      ...(smallestUse < TOO_LARGE_UNDER
        ? [{ code: 'cell-too-large', side, use: smallestUse, limit: TOO_LARGE_UNDER } as const]
        : []),
      ...(under === undefined || limits === null
        ? []
        : [{ code: 'signal-under-range', side, in: under.name, signal: under.signal, limit: limits[0] } as const]),
      ...(above === undefined || limits === null
        ? []
        : [{ code: 'signal-over-range', side, in: above.name, signal: above.signal, limit: limits[1] } as const]),
      ...unloaded(side, load.linesOfPull, cellDistance),
    ]
  })
}

/** A line of pull beyond the far cell lifts this one. */
function unloaded(side: Side, lines: readonly [number, number], distance: number | null): GeometryWarning[] {
  if (side === 'single' || distance === null) return []
  const line = side === 'drive_side' ? Math.max(...lines) : Math.min(...lines)
  return Math.abs(line) > distance / 2 && Math.sign(line) === (side === 'drive_side' ? 1 : -1)
    ? [{ code: 'side-unloaded', side, lineOfPull: line }]
    : []
}

function fitWarnings({ fit }: Told, geometry: ZoneGeometry): GeometryWarning[] {
  if (fit === null || geometry.fit === null) return []
  const { clearance } = geometry.fit.ends
  const { least, most } = END_CLEARANCE
  return [
    ...(fit.left <= 0 ? [{ code: 'growth-over-clearance', growth: fit.growth, left: fit.left } as const] : []),
    ...(clearance < least || clearance > most ? [{ code: 'clearance-unusual', clearance, least, most } as const] : []),
  ]
}

function webWarnings(
  told: Told,
  { roller, air }: ZoneGeometry,
  { tension, tensionRise }: OperatingState,
): GeometryWarning[] {
  const lowest = tension - Math.abs(tensionRise) / 2
  if (told.momentum > 0 && told.momentum >= lowest)
    return [{ code: 'web-lifts', momentum: told.momentum, tension: lowest }]
  const { film } = told
  return [
    ...(air !== null && film !== null && film.ratio > FILM_PARTS
      ? [{ code: 'air-film', ratio: film.ratio, floats: film.ratio > FILM_FLOATS } as const]
      : []),
    ...(roller.friction !== null && told.frictionNeeded > roller.friction
      ? [{ code: 'roller-may-slip', needed: told.frictionNeeded, friction: roller.friction } as const]
      : []),
  ]
}
