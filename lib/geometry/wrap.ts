import { ImpossiblePath } from './path-fault.ts'
import { type Roller, type Span, spanBetween } from './tangent.ts'
import { add, positiveAngle, radians, signedAngle, subtract, times, unitAt, type Vector } from './vector.ts'

/** How the web meets the measuring roller. */
export interface Wrap {
  readonly incoming: Span
  readonly outgoing: Span
  /** Wrap angle θ in (0, 2π), rad. */
  readonly angle: number
  /** The way the web turns the roller: +1 counter-clockwise. */
  readonly turn: 1 | -1
  /** u_out − u_in: the way the web pulls, of length 2 sin(θ/2). */
  readonly pull: Vector
  /** Bisector of the wrap: the direction of the pull, rad counter-clockwise from +x. */
  readonly bisector: number
}

/** More than this is a web that bends away from the roller and came out a turn short (common practice, no source). */
export const LARGEST_WRAP = radians(330)

/** Less bend than this is rounding. */
const NO_WRAP = 1e-9

/**
 * Wrap of the middle roller of three, from the spans to its neighbours.
 *
 * Throws ImpossiblePath when a neighbour overlaps it, when the web does not bend round it, bends away from it, or
 * would cross itself: over half a turn the two spans close in on each other and meet r·|tan(θ/2)| from the roller, so
 * both must end before that. Source: plane geometry.
 */
export function wrapOf(before: Roller, measuring: Roller, after: Roller): Wrap {
  const incoming = spanBetween(before, measuring)
  const outgoing = spanBetween(measuring, after)
  const wrap = wrapBetween(incoming, outgoing, measuring.turn)
  const roller = measuring.name
  if (wrap.angle < NO_WRAP || wrap.angle > 2 * Math.PI - NO_WRAP) throw new ImpossiblePath({ kind: 'no-wrap', roller })
  if (wrap.angle > LARGEST_WRAP) throw new ImpossiblePath({ kind: 'wraps-wrong-way', roller, wrap: wrap.angle })
  const meet = measuring.radius * Math.abs(Math.tan(wrap.angle / 2))
  if (wrap.angle > Math.PI && incoming.length > meet && outgoing.length > meet)
    throw new ImpossiblePath({ kind: 'crosses-itself', roller, wrap: wrap.angle })
  return wrap
}

/** The same from two spans that are known, without asking whether a web can run so. */
export function wrapBetween(incoming: Span, outgoing: Span, turn: 1 | -1): Wrap {
  const angle = positiveAngle(turn * (outgoing.angle - incoming.angle))
  return {
    incoming,
    outgoing,
    angle,
    turn,
    pull: subtract(outgoing.direction, incoming.direction),
    bisector: signedAngle(incoming.angle + (turn * (angle + Math.PI)) / 2),
  }
}

/** The web's way over a chain of rollers: one span between each two. Throws as `spanBetween` does. */
export function webPath(rollers: readonly Roller[]): Span[] {
  return rollers.slice(1).map((roller, i) => spanBetween(rollers[i] as Roller, roller))
}

/** Length of web on and between the rollers from the first contact to the last, m. Throws as `spanBetween` does. */
export function pathLength(rollers: readonly Roller[]): number {
  const spans = webPath(rollers)
  return spans.reduce((sum, outgoing, i) => {
    const [incoming, roller] = [spans[i - 1], rollers[i]]
    const onRoller =
      incoming === undefined || roller === undefined
        ? 0
        : wrapBetween(incoming, outgoing, roller.turn).angle * roller.radius
    return sum + onRoller + outgoing.length
  }, 0)
}

/** A point on the line of the resultant, `distance` from the roller's centre along the pull: for drawing. */
export const alongBisector = (roller: Roller, { bisector }: Wrap, distance: number): Vector =>
  add(roller.centre, times(unitAt(bisector), distance))

/** How close a span comes to a roller's surface, m; negative where it would run through it. */
export function spanClearance({ from, to, direction, length }: Span, { centre, radius }: Roller): number {
  const toCentre = subtract(centre, from)
  const along = Math.min(length, Math.max(0, toCentre.x * direction.x + toCentre.y * direction.y))
  const nearest = length > 0 ? add(from, times(direction, along)) : to
  return Math.hypot(centre.x - nearest.x, centre.y - nearest.y) - radius
}
