import type { KeyboardEvent } from 'react'
import type { Roller } from '../../../lib/geometry/tangent.ts'
import { formatNumber } from '../../_ui/format.ts'
import { keyDirection, LONG_STEP_MM, movedBy, movedTo, STEP_MM } from '../_model/edits.ts'
import { type Drawing, placeKey, type RollerPlace } from '../_model/rollers.ts'
import styles from './SideView.module.css'
import type { Drag } from './use-drag.ts'
import { toModel, toPicture, type ViewFrame } from './view-frame.ts'

/** Half of the 44 px that a finger needs. */
const LEAST_TARGET = 22

interface RollersProps {
  readonly rollers: readonly Roller[]
  readonly places: readonly RollerPlace[]
  readonly frame: ViewFrame
  readonly drag: Drag
  readonly selected: string | null
  readonly onSelect: (key: string) => void
  readonly onChange: (next: (drawing: Drawing) => Drawing, gesture?: string) => void
  /** A dancer's roller goes where its arm puts it: it is not dragged. */
  readonly isFixed: (place: RollerPlace) => boolean
}

/** Every roller: drag it, or select it and move it with the arrow keys. */
export function Rollers(props: RollersProps) {
  return props.rollers.map((roller, i) => {
    const place = props.places[i]
    return place === undefined ? null : <RollerShape key={placeKey(place)} {...props} roller={roller} place={place} />
  })
}

function RollerShape({
  roller,
  place,
  frame,
  drag,
  selected,
  onSelect,
  onChange,
  isFixed,
}: RollersProps & { readonly roller: Roller; readonly place: RollerPlace }) {
  const key = placeKey(place)
  const at = toPicture(frame, roller.centre)
  const radius = roller.radius * frame.scale
  const isMeasuring = place.group === 'measuring'
  const move = (to: { x: number; y: number }) => {
    const { x, y } = toModel(frame, to)
    onChange((drawing) => movedTo(drawing, place, x * 1000, y * 1000), `drag ${key}`)
  }
  const press = (event: KeyboardEvent) => {
    const way = keyDirection(event.key, frame.isMirrored)
    if (way === null || event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    const step = event.shiftKey ? LONG_STEP_MM : STEP_MM
    onChange((drawing) => movedBy(drawing, place, way.x * step, way.y * step))
  }
  const moving = isFixed(place) ? {} : { ...drag.handlers(at, move), onKeyDown: press }
  return (
    // biome-ignore lint/a11y/useSemanticElements: an HTML button cannot stand inside an SVG
    <g
      className={styles.roller}
      role="button"
      tabIndex={0}
      data-measuring={isMeasuring}
      data-selected={selected === key}
      data-testid={`roller-${key}`}
      aria-pressed={selected === key}
      aria-label={`${roller.name}${isMeasuring ? ', the measuring roller' : ''}: ${inWords(roller)}`}
      aria-describedby="side-view-keys"
      onFocus={() => onSelect(key)}
      {...moving}
    >
      <circle className={styles.target} cx={at.x} cy={at.y} r={Math.max(LEAST_TARGET, radius)} />
      <circle className={styles.body} cx={at.x} cy={at.y} r={radius} />
      {isMeasuring && <circle className={styles.rim} cx={at.x} cy={at.y} r={Math.max(2, radius - 5)} />}
      <path className={styles.cross} d={`M${at.x - 5} ${at.y}h10M${at.x} ${at.y - 5}v10`} />
    </g>
  )
}

const inWords = ({ centre, radius }: Roller): string =>
  `${formatNumber(1000 * centre.x, 0)} mm downstream, ${formatNumber(1000 * centre.y, 0)} mm up, ${formatNumber(2000 * radius, 0)} mm in diameter`
