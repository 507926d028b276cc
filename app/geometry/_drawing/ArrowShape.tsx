import { add, times, type Vector } from '../../../lib/geometry/vector.ts'

interface ArrowShapeProps {
  readonly from: Vector
  readonly to: Vector
  readonly className: string | undefined
  /** Width of shaft and length of head, px. */
  readonly shaft: number
  readonly head: number
}

/** A filled arrow as one shape, so that it can be drawn in outline too. Nothing for an arrow shorter than its head. */
export function ArrowShape({ from, to, className, shaft, head }: ArrowShapeProps) {
  const long = Math.hypot(to.x - from.x, to.y - from.y)
  if (!(long > head)) return null
  const along = { x: (to.x - from.x) / long, y: (to.y - from.y) / long }
  const across = { x: -along.y, y: along.x }
  const neck = add(to, times(along, -head))
  const at = (base: Vector, side: number) => add(base, times(across, side))
  const points = [
    at(from, shaft / 2),
    at(neck, shaft / 2),
    at(neck, head * 0.42),
    to,
    at(neck, -head * 0.42),
    at(neck, -shaft / 2),
    at(from, -shaft / 2),
  ]
  return (
    <polygon className={className} points={points.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ')} />
  )
}
