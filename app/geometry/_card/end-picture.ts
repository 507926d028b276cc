import { arrowWords, type RunsSeenFromOperatorSide, seenFrom } from '../../../lib/geometry/arrow-words.ts'
import { unitAt, type Vector, vector } from '../../../lib/geometry/vector.ts'
import type { Wrap } from '../../../lib/geometry/wrap.ts'

export type End = 'drive_side' | 'operator_side'

/** One end of the roller as a person sees it who stands there and faces it: x to that person's right, y up. */
export interface EndPicture {
  readonly end: End
  readonly arrow: Vector
  /** Towards which hand the web runs. */
  readonly downstream: 'right' | 'left'
  /** The same whichever end one faces. */
  readonly words: string
  /** Travel of the web as it arrives and as it leaves, and where it touches, in roller radii from the axis. */
  readonly web: readonly { readonly from: Vector; readonly to: Vector }[]
}

/** How much of each span is drawn, in roller radii. */
const SPAN = 1.9

/** The picture of an end with an arrow at `angle` (rad, counter-clockwise from downstream). */
export function endPicture(
  end: End,
  angle: number,
  wrap: Wrap,
  radius: number,
  centre: Vector,
  runs: RunsSeenFromOperatorSide,
): EndPicture {
  const see = (direction: Vector): Vector => seenFrom(direction, end, runs)
  const place = (point: Vector): Vector => see({ x: (point.x - centre.x) / radius, y: (point.y - centre.y) / radius })
  const along = (point: Vector, direction: Vector, by: number): Vector => {
    const [at, way] = [place(point), see(direction)]
    return { x: at.x + way.x * by, y: at.y + way.y * by }
  }
  const { incoming, outgoing } = wrap
  return {
    end,
    arrow: see(unitAt(angle)),
    downstream: see(vector(1, 0)).x > 0 ? 'right' : 'left',
    words: arrowWords(angle).sentence,
    web: [
      { from: along(incoming.to, incoming.direction, -SPAN), to: place(incoming.to) },
      { from: place(outgoing.from), to: along(outgoing.from, outgoing.direction, SPAN) },
    ],
  }
}

/** Which end a person faces for a cell: its own; a cantilever roller is seen from its free end. */
export const endsOf = (sides: readonly string[]): readonly End[] =>
  sides.includes('single') ? ['operator_side'] : ['drive_side', 'operator_side']
