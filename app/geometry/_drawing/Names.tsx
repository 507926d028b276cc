import type { Roller } from '../../../lib/geometry/tangent.ts'
import { placeKey, type RollerPlace } from '../_model/rollers.ts'
import styles from './SideView.module.css'
import { toPicture, type ViewFrame } from './view-frame.ts'

/** Names beside the rollers: on the side away from the measuring roller, where the picture is free. */
export function Names({
  rollers,
  places,
  measuring,
  frame,
}: {
  readonly rollers: readonly Roller[]
  readonly places: readonly RollerPlace[]
  readonly measuring: number
  readonly frame: ViewFrame
}) {
  const middle = rollers[measuring]
  return (
    <g>
      {rollers.map((roller, i) => {
        if (i === measuring || middle === undefined) return null
        const at = toPicture(frame, roller.centre)
        const isBelow = roller.centre.y <= middle.centre.y
        const radius = roller.radius * frame.scale
        return (
          <text
            key={places[i] === undefined ? roller.name : placeKey(places[i])}
            className={styles.name}
            x={at.x}
            y={at.y + (isBelow ? radius + 18 : -radius - 18)}
          >
            {roller.name}
          </text>
        )
      })}
    </g>
  )
}
