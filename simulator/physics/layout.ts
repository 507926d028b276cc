import { add, length, quarterTurn, subtract, times, type Vec2, vec } from './vector.ts'

/** A roller of the side view. `turns` is how the running web turns it: cw means the web passes over it left to right. */
export interface LayoutRoller {
  name: string
  centre: Vec2
  /** m */
  radius: number
  turns: 'cw' | 'ccw'
}

/** A straight span of web between two rollers. */
export interface FreeSpan {
  readonly leaves: Vec2
  readonly arrives: Vec2
}

/** Where the web lies on a roller: it enters at `entryAngle` (of the contact point, ccw from +x) and turns through `wrap`. */
export interface ContactArc {
  readonly entryAngle: number
  readonly wrap: number
  readonly turns: 'cw' | 'ccw'
  readonly radius: number
}

/** More wrap than this on one roller cannot be threaded between two neighbours; a negative wrap shows as nearly a turn. */
const LARGEST_WRAP = (300 * Math.PI) / 180

/**
 * The line from `point` that touches the roller, by Thales: the contact lies on the circle whose
 * diameter joins the point and the roller's centre. `arriving` says which way the web runs on it.
 */
function touch(roller: LayoutRoller, point: Vec2, arriving: boolean): Vec2 {
  const toPoint = subtract(point, roller.centre)
  const d2 = toPoint.x * toPoint.x + toPoint.y * toPoint.y
  const r = roller.radius
  const side = (roller.turns === 'ccw') === arriving ? 1 : -1
  const along = times(toPoint, (r * r) / d2)
  const across = times(quarterTurn(toPoint), (side * r * Math.sqrt(d2 - r * r)) / d2)
  return add(roller.centre, add(along, across))
}

/**
 * The free span from roller `a` to roller `b`, found by letting the two contact points pull each
 * other straight: touch b from a's point, then a from b's, until neither moves. Each pass squares
 * the error, because a point that slides along its own tangent does not turn the line.
 * Throws RangeError naming both rollers when they overlap.
 */
export function freeSpan(a: LayoutRoller, b: LayoutRoller): FreeSpan {
  const distance = length(subtract(b.centre, a.centre))
  if (!(distance > a.radius + b.radius)) {
    throw new RangeError(`rollers ${a.name} and ${b.name} overlap: no web passes between them`)
  }
  let leaves = a.centre
  let arrives = touch(b, leaves, true)
  for (let pass = 0; pass < 60; pass++) {
    const next = touch(a, arrives, false)
    const moved = length(subtract(next, leaves))
    leaves = next
    arrives = touch(b, leaves, true)
    if (moved < 1e-14 * distance) break
  }
  return { leaves, arrives }
}

/** The arc of contact on `roller` between its two neighbours. Throws RangeError when the web does not reach it. */
export function contactArc(before: LayoutRoller, roller: LayoutRoller, after: LayoutRoller): ContactArc {
  const enters = outward(roller, freeSpan(before, roller).arrives)
  const exits = outward(roller, freeSpan(roller, after).leaves)
  const entryAngle = Math.atan2(enters.y, enters.x)
  const turned = Math.atan2(exits.y, exits.x) - entryAngle
  const sense = roller.turns === 'ccw' ? 1 : -1
  const wrap = modulo(sense * turned, 2 * Math.PI)
  if (wrap > LARGEST_WRAP || wrap === 0) {
    throw new RangeError(`the web from ${before.name} to ${after.name} does not wrap roller ${roller.name}`)
  }
  return { entryAngle, wrap, turns: roller.turns, radius: roller.radius }
}

function outward(roller: LayoutRoller, point: Vec2): Vec2 {
  return vec(point.x - roller.centre.x, point.y - roller.centre.y)
}

function modulo(value: number, period: number): number {
  return ((value % period) + period) % period
}
