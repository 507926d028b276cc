import type { Roller } from '../../../lib/geometry/tangent.ts'
import { add, times, unitAt, type Vector } from '../../../lib/geometry/vector.ts'
import type { Wrap } from '../../../lib/geometry/wrap.ts'
import { formatNumber } from '../../_ui/format.ts'
import { ArrowShape } from './ArrowShape.tsx'
import styles from './SideView.module.css'
import { directionInPicture, toPicture, type ViewFrame } from './view-frame.ts'
import { arcPoints } from './web-line.ts'

interface ForcesProps {
  readonly roller: Roller
  readonly wrap: Wrap
  /** T − m v² of the drawn tension, and the roller's weight, N. */
  readonly webTension: number
  readonly weight: number
  readonly frame: ViewFrame
}

/** The longest force is drawn so long, px. */
const LONGEST = 105
/** And on a small picture no more than this part of its width. */
const LONGEST_PART = 0.16

/** What the web and the roller's weight do to the roller, to one scale of newtons; the wrap and its bisector. */
export function Forces({ roller, wrap, webTension, weight, frame }: ForcesProps) {
  const centre = toPicture(frame, roller.centre)
  const pull = times(wrap.pull, webTension)
  const size = Math.max(webTension, Math.hypot(pull.x, pull.y), weight)
  const perNewton = size > 0 ? Math.min(LONGEST, LONGEST_PART * frame.width) / size : 0
  const inPicture = (force: Vector) => times(directionInPicture(frame, force), perNewton)
  const entry = toPicture(frame, wrap.incoming.to)
  const exit = toPicture(frame, wrap.outgoing.from)
  return (
    <g>
      <Bisector centre={centre} wrap={wrap} rim={roller.radius * frame.scale} frame={frame} />
      <ArrowShape
        className={styles.tension}
        from={entry}
        to={add(entry, inPicture(times(wrap.incoming.direction, -webTension)))}
        shaft={7}
        head={14}
      />
      <ArrowShape
        className={styles.tension}
        from={exit}
        to={add(exit, inPicture(times(wrap.outgoing.direction, webTension)))}
        shaft={7}
        head={14}
      />
      <ArrowShape className={styles.pull} from={centre} to={add(centre, inPicture(pull))} shaft={11} head={20} />
      <ArrowShape
        className={styles.weight}
        from={centre}
        to={add(centre, inPicture({ x: 0, y: -weight }))}
        shaft={5}
        head={12}
      />
      <WrapArc roller={roller} wrap={wrap} frame={frame} />
    </g>
  )
}

function Bisector({
  centre,
  wrap,
  rim,
  frame,
}: {
  readonly centre: Vector
  readonly wrap: Wrap
  readonly rim: number
  readonly frame: ViewFrame
}) {
  const way = directionInPicture(frame, unitAt(wrap.bisector))
  const [from, to] = [add(centre, times(way, -rim - 22)), add(centre, times(way, rim + 140))]
  return <line className={styles.bisector} x1={from.x} y1={from.y} x2={to.x} y2={to.y} />
}

/** The contact, just outside the web, with its angle beyond it. */
function WrapArc({ roller, wrap, frame }: Pick<ForcesProps, 'roller' | 'wrap' | 'frame'>) {
  const outside = roller.radius + 11 / frame.scale
  const middle = wrap.bisector + Math.PI
  const points = arcPoints(roller.centre, outside, middle - wrap.angle / 2, wrap.angle).map((p) => toPicture(frame, p))
  const centre = toPicture(frame, roller.centre)
  const way = directionInPicture(frame, unitAt(middle))
  const label = add(centre, times(way, roller.radius * frame.scale + 34))
  return (
    <>
      <polyline
        className={styles.wrapArc}
        points={points.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ')}
      />
      <text className={styles.wrapText} x={label.x} y={label.y}>
        wrap {formatNumber((wrap.angle * 180) / Math.PI, 1)}°
      </text>
    </>
  )
}
