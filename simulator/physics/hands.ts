import type { BridgeSignal } from './cell.ts'
import type { BothEnds, LateralForce } from './ends.ts'
import type { ContactArc } from './layout.ts'
import { type Vec2, vec } from './vector.ts'
import { integrateWrap, tabulateWrap, type WrapTable } from './wrap.ts'

/** A weight on a rope that lies over the standing measuring roller. */
export interface RopeLoad {
  /** kg */
  readonly mass: number
  /** Where the rope lies, from mid-span towards the operator side, m. */
  readonly at: number
  /** Along the web's own path, or in these directions of travel, rad ccw from +x. */
  readonly path: 'web' | { readonly arriving: number; readonly leaving: number }
  /** Which way the weight moved last: friction holds against it. */
  readonly moved: 'down' | 'up'
}

/** What hands do to one cell's cable. */
export interface CableHands {
  /** Moved and pulled at, so that a bad contact shows. */
  readonly wiggled: boolean
  /** A bridge simulator in the cell's place, mV/V. */
  readonly simulator: number | null
  /** A resistor across one arm of the bridge, ohm. */
  readonly shunt: number | null
}

/** What hands do to a zone; `NO_HANDS` when nobody is at it. */
export interface Hands {
  /** The web is out of the zone. */
  webOff: boolean
  /** The roller is off the cells. */
  rollerLifted: boolean
  /** Push on each end, N. */
  push: BothEnds<Vec2>
  rope: RopeLoad | null
  /** Share of the weight that the rope's guides take, in the direction against the movement. */
  ropeFriction: number
  cables: BothEnds<CableHands>
}

const NO_CABLE_HANDS: CableHands = { wiggled: false, simulator: null, shunt: null }

/** Nobody at the zone: web in, roller on the cells, nothing pushed or hung. */
export const NO_HANDS: Hands = {
  webOff: false,
  rollerLifted: false,
  push: { drive_side: vec(0, 0), operator_side: vec(0, 0) },
  rope: null,
  ropeFriction: 0.002,
  cables: { drive_side: NO_CABLE_HANDS, operator_side: NO_CABLE_HANDS },
}

/** The standing roller that a rope runs over. */
export interface RopeOver {
  readonly table: WrapTable
  readonly gravity: number
  /** Torque that the bearing holds against turning, N·m. */
  readonly bearing: number
  readonly friction: number
}

/**
 * Force of a rope on the roller, N. The weight hangs behind the leaving span. While it goes down, guides and bearing
 * take their share before the tension arrives at the roller; going up, they add it.
 */
export function ropeForce(rope: RopeLoad, over: RopeOver, ropeFriction: number): LateralForce {
  const against = rope.moved === 'down' ? -1 : 1
  const leaving = rope.mass * over.gravity * (1 + against * ropeFriction)
  const arriving = Math.max(0, leaving + (against * over.bearing) / over.table.arc.radius)
  const load = { tensionIn: arriving, tensionRise: leaving - arriving, momentum: 0, friction: over.friction }
  return { force: integrateWrap(over.table, load).fromTension, at: rope.at }
}

/** Contact of a rope that travels in these directions over a roller. Throws RangeError when it does not touch it. */
export function ropeArc(arriving: number, leaving: number, radius: number): ContactArc {
  const turned = Math.atan2(Math.sin(leaving - arriving), Math.cos(leaving - arriving))
  if (turned === 0) throw new RangeError('a rope that arrives and leaves in one direction does not press on the roller')
  const turns = turned > 0 ? 'ccw' : 'cw'
  // Travel on a roller that turns ccw is a quarter turn ahead of the contact point, cw a quarter turn behind.
  const entryAngle = arriving - Math.sign(turned) * (Math.PI / 2)
  return { entryAngle, wrap: Math.abs(turned), turns, radius }
}

/** The table of the rope's own contact, or of the web's where it lies along the web. */
export function ropeTable(rope: RopeLoad, web: WrapTable): WrapTable {
  if (rope.path === 'web') return web
  return tabulateWrap(ropeArc(rope.path.arriving, rope.path.leaving, web.arc.radius), web.elements)
}

/** The two pushes as forces on the ends, `cellDistance` apart. */
export function pushForces(push: BothEnds<Vec2>, cellDistance: number): LateralForce[] {
  return [
    { force: push.drive_side, at: -cellDistance / 2 },
    { force: push.operator_side, at: cellDistance / 2 },
  ]
}

/** Direction and size of what one newton of web does to the standing roller: the resultant, N/N. */
export function resultantOf(table: WrapTable): Vec2 {
  return integrateWrap(table, { tensionIn: 1, tensionRise: 0, momentum: 0, friction: 1 }).fromTension
}

/** What a resistor across one arm adds to a bridge of four equal arms R, mV/V: R/(4 R_s + 2 R). (Wheatstone bridge, one arm R ∥ R_s.) */
export function shuntSignal(arm: number, shunt: number): number {
  return (1000 * arm) / (4 * shunt + 2 * arm)
}

/** What arrives at the amplifier with the hands at this cable. */
export function handled(bridge: BridgeSignal, hands: CableHands, arm: number): BridgeSignal {
  if (hands.simulator !== null) return { signal: hands.simulator, open: false }
  if (hands.shunt === null) return bridge
  return { ...bridge, signal: bridge.signal + shuntSignal(arm, hands.shunt) }
}
