import type { Vector } from '../../../lib/geometry/vector.ts'
import type { Wrap } from '../../../lib/geometry/wrap.ts'
import { SIDES } from '../../_ui/sides.ts'
import { ArrowShape } from '../_drawing/ArrowShape.tsx'
import { arcPoints } from '../_drawing/web-line.ts'
import styles from './Card.module.css'
import type { EndPicture } from './end-picture.ts'

const WIDTH = 320
const HEIGHT = 236
const RADIUS = 42
const ARROW = 92
const MIDDLE = { x: WIDTH / 2, y: HEIGHT / 2 }

/** Radii to px, y downwards. */
const px = ({ x, y }: Vector, factor: number): Vector => ({ x: MIDDLE.x + x * factor, y: MIDDLE.y - y * factor })
const line = (points: readonly Vector[]) => points.map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ')

/** Whole sentences, because another language orders their words otherwise. */
const FACING = {
  drive_side: 'as you see it when you face the drive-side end',
  operator_side: 'as you see it when you face the operator-side end',
  single: 'as you see it when you face the roller from the operator side',
  roller: 'as you see it when you face the roller from the operator side',
} as const

/** An end of the roller with its arrow, as seen by a person who faces it. */
export function EndDrawing({
  picture,
  wrap,
  isCantilever,
}: {
  readonly picture: EndPicture
  readonly wrap: Wrap
  readonly isCantilever: boolean
}) {
  const { end, arrow, downstream, web, words } = picture
  const { name, color } = SIDES[end]
  const tip = px(arrow, ARROW)
  const contact = contactOf(picture, wrap)
  return (
    <figure className={styles.end} data-testid={`end-${end}`} data-downstream={downstream}>
      <figcaption>
        <strong>{isCantilever ? 'Cell of the roller' : SIDES[end].title}</strong>,{' '}
        {isCantilever ? FACING.roller : FACING[end]}
      </figcaption>
      <svg
        viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
        role="img"
        aria-label={`Facing the ${name}: the web runs to your ${downstream}; arrow ${words}`}
      >
        <line className={styles.plumb} x1={MIDDLE.x} x2={MIDDLE.x} y1="14" y2={HEIGHT - 22} />
        <text className={styles.small} x={MIDDLE.x} y="9">
          up
        </text>
        <circle className={styles.roller} cx={MIDDLE.x} cy={MIDDLE.y} r={RADIUS} />
        <polyline className={styles.web} points={line([...contact.before, ...contact.arc, ...contact.after])} />
        {web.map(({ from, to }) => (
          <Travel key={`${from.x} ${from.y}`} from={px(from, RADIUS)} to={px(to, RADIUS)} />
        ))}
        <polyline className={styles.angleArc} points={line(angleArc(arrow))} />
        <g style={{ color: isCantilever ? undefined : color }}>
          <ArrowShape className={styles.arrow} from={MIDDLE} to={tip} shaft={6} head={20} />
        </g>
        <circle className={styles.axis} cx={MIDDLE.x} cy={MIDDLE.y} r="4" />
        <text className={styles.small} x={MIDDLE.x} y={HEIGHT - 6}>
          {downstream === 'right'
            ? 'upstream  ·  the web runs to your right  →  downstream'
            : 'downstream  ←  the web runs to your left  ·  upstream'}
        </text>
      </svg>
      <p className={styles.endWords}>{words}</p>
    </figure>
  )
}

/** The web from its first drawn point over the contact to its last. */
function contactOf({ web }: EndPicture, wrap: Wrap) {
  const [arriving, leaving] = web
  const [entry, exit] = [arriving?.to, leaving?.from]
  if (entry === undefined || exit === undefined) return { before: [], arc: [], after: [] }
  const begin = Math.atan2(entry.y, entry.x)
  const ends = Math.atan2(exit.y, exit.x)
  // The sense of turning may be mirrored: of the two ways round, the one that is as long as the wrap.
  const forth = (((ends - begin) % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI)
  const sweep = Math.abs(forth - wrap.angle) < 1e-6 ? wrap.angle : -wrap.angle
  const arc = arcPoints({ x: 0, y: 0 }, 1, begin, sweep).map((point) => px(point, RADIUS))
  return {
    before: arriving === undefined ? [] : [px(arriving.from, RADIUS)],
    arc,
    after: leaving === undefined ? [] : [px(leaving.to, RADIUS)],
  }
}

/** From the vertical to the arrow, at two thirds of its length. */
function angleArc(arrow: Vector): Vector[] {
  const vertical = arrow.y >= 0 ? Math.PI / 2 : -Math.PI / 2
  const sweep = Math.atan2(arrow.y, arrow.x) - vertical
  const turned = Math.abs(sweep) > Math.PI ? sweep - Math.sign(sweep) * 2 * Math.PI : sweep
  return arcPoints({ x: 0, y: 0 }, 1, vertical, turned).map((point) => px(point, 66))
}

/** A chevron in the middle of a span. */
function Travel({ from, to }: { readonly from: Vector; readonly to: Vector }) {
  const turn = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI
  const at = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 }
  return (
    <path className={styles.chevron} d="M-5 -6L4 0L-5 6" transform={`translate(${at.x} ${at.y}) rotate(${turn})`} />
  )
}
