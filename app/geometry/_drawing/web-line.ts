import type { Roller, Span } from '../../../lib/geometry/tangent.ts'
import { add, angleOf, positiveAngle, subtract, times, unitAt, type Vector } from '../../../lib/geometry/vector.ts'
import type { DrawnPath } from '../_model/path.ts'

/** How much of the first and the last roller the web is drawn on: where it comes from is not known. */
const OPEN_END = Math.PI / 3
const ARC_STEP = Math.PI / 60

/** A stretch of web, from point to point along its travel. */
export type Polyline = readonly Vector[]

/** The web along spans and wraps; broken where a span cannot be. */
export function webLines({ rollers, spans }: DrawnPath): Polyline[] {
  const lines: Vector[][] = []
  let line: Vector[] = []
  const end = () => {
    if (line.length > 1) lines.push(line)
    line = []
  }
  rollers.forEach((roller, i) => {
    const [arriving, leaving] = [spans[i - 1] ?? null, spans[i] ?? null]
    line.push(...contactArc(roller, arriving, leaving))
    if (leaving === null) end()
    else line.push(leaving.from, leaving.to)
  })
  end()
  return lines
}

/** The web on one roller; a short piece of it where only one span is known. */
function contactArc(roller: Roller, arriving: Span | null, leaving: Span | null): Vector[] {
  if (arriving === null && leaving === null) return []
  const angleAt = (point: Vector) => angleOf(subtract(point, roller.centre))
  const starts = arriving === null ? null : angleAt(arriving.to)
  const ends = leaving === null ? null : angleAt(leaving.from)
  const begin = starts ?? (ends ?? 0) - roller.turn * OPEN_END
  const sweep = starts === null || ends === null ? OPEN_END : positiveAngle(roller.turn * (ends - starts))
  return arcPoints(roller.centre, roller.radius, begin, roller.turn * sweep)
}

/** Points on an arc from an angle, counter-clockwise for a positive sweep. */
export function arcPoints(centre: Vector, radius: number, begin: number, sweep: number): Vector[] {
  const count = Math.max(2, Math.ceil(Math.abs(sweep) / ARC_STEP))
  return Array.from({ length: count + 1 }, (_, i) => add(centre, times(unitAt(begin + (sweep * i) / count), radius)))
}
