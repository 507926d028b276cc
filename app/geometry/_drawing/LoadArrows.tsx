import type { KeyboardEvent } from 'react'
import { arrowWords } from '../../../lib/geometry/arrow-words.ts'
import type { Roller } from '../../../lib/geometry/tangent.ts'
import { add, radians, times, unitAt } from '../../../lib/geometry/vector.ts'
import { SIDES } from '../../_ui/sides.ts'
import { arrowOf, draggedAngle, keyDirection, LONG_STEP_DEG, type Side, STEP_DEG, withArrow } from '../_model/edits.ts'
import type { Drawing } from '../_model/rollers.ts'
import { ArrowShape } from './ArrowShape.tsx'
import styles from './SideView.module.css'
import type { Drag } from './use-drag.ts'
import { directionInPicture, toModel, toPicture, type ViewFrame } from './view-frame.ts'

/** Length of the arrows beyond the roller's rim, px: different, so that either can be grabbed when both lie alike. */
export const ARROW_REACH = { drive_side: 56, operator_side: 104, single: 76 } as const satisfies Record<Side, number>
const TAGS = { drive_side: 'DS', operator_side: 'OS', single: 'cell' } as const satisfies Record<Side, string>

interface LoadArrowsProps {
  readonly sides: readonly Side[]
  readonly drawing: Drawing
  readonly roller: Roller
  readonly frame: ViewFrame
  readonly drag: Drag
  readonly onChange: (next: (drawing: Drawing) => Drawing, gesture?: string) => void
}

/** The load arrow of each side, from the roller's axis: drag its tip, or turn it with the arrow keys. */
export function LoadArrows(props: LoadArrowsProps) {
  return props.sides.toReversed().map((side) => <LoadArrow key={side} side={side} {...props} />)
}

function LoadArrow({ side, drawing, roller, frame, drag, onChange }: LoadArrowsProps & { readonly side: Side }) {
  const angle = arrowOf(drawing, side)
  const centre = toPicture(frame, roller.centre)
  const way = directionInPicture(frame, unitAt(radians(angle)))
  const reach = roller.radius * frame.scale + ARROW_REACH[side]
  const tip = add(centre, times(way, reach))
  const knob = add(centre, times(way, reach + 15))
  const turn = (to: { x: number; y: number }) =>
    onChange((now) => withArrow(now, side, draggedAngle(roller.centre, toModel(frame, to))), `turn ${side}`)
  const press = (event: KeyboardEvent) => {
    const sense = keyDirection(event.key, false)
    if (sense === null || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    // Up and right turn counter-clockwise in the model: the words beside the picture say what came of it.
    const by = (sense.x + sense.y) * (event.shiftKey ? LONG_STEP_DEG : STEP_DEG)
    onChange((now) => withArrow(now, side, arrowOf(now, side) + by))
  }
  const { color, dash, name } = SIDES[side]
  return (
    <g
      className={styles.arrow}
      role="slider"
      tabIndex={0}
      style={{ color }}
      data-testid={`arrow-${side}`}
      aria-label={`Load arrow, ${name}`}
      aria-valuemin={-180}
      aria-valuemax={180}
      aria-valuenow={angle}
      aria-valuetext={arrowWords(radians(angle)).sentence}
      onKeyDown={press}
      {...drag.handlers(knob, turn)}
    >
      <circle className={styles.target} cx={knob.x} cy={knob.y} r={22} />
      <line
        className={styles.arrowShaft}
        x1={centre.x}
        y1={centre.y}
        x2={tip.x}
        y2={tip.y}
        strokeDasharray={dash ?? undefined}
      />
      <ArrowShape from={centre} to={tip} className={styles.arrowHead} shaft={0.1} head={16} />
      <circle className={styles.knob} cx={knob.x} cy={knob.y} r={13} />
      <text className={styles.knobText} x={knob.x} y={knob.y}>
        {TAGS[side]}
      </text>
    </g>
  )
}
