import { useState } from 'react'
import { type RunsSeenFromOperatorSide, seenFrom } from '../../../lib/geometry/arrow-words.ts'
import { dot, radians, unitAt, vector } from '../../../lib/geometry/vector.ts'
import { useWidth } from '../../_ui/live/use-width.ts'
import type { Computed } from '../_model/compute.ts'
import { arrowOf, type Side } from '../_model/edits.ts'
import { type Drawing, placeKey, type RollerPlace, rollersOf } from '../_model/rollers.ts'
import { Forces } from './Forces.tsx'
import { ARROW_REACH, LoadArrows } from './LoadArrows.tsx'
import { Names } from './Names.tsx'
import { Rollers } from './Rollers.tsx'
import styles from './SideView.module.css'
import { useDrag } from './use-drag.ts'
import { type Bounds, boundsOf, frameOf, scaleBar, stillServes, type ViewFrame } from './view-frame.ts'
import { WebLines } from './WebLines.tsx'

interface SideViewProps {
  readonly drawing: Drawing
  readonly computed: Computed
  readonly sides: readonly Side[]
  readonly end: End
  readonly selected: string | null
  readonly onSelect: (key: string) => void
  readonly onChange: (next: (drawing: Drawing) => Drawing, gesture?: string) => void
  readonly onSettle: () => void
}

type End = 'drive_side' | 'operator_side'

/** The web runs so until the drawing says otherwise. */
export const RUNS_UNTOLD: RunsSeenFromOperatorSide = 'left to right'

/** Downstream is on the left for a person who looks from this end. */
export function isMirroredView({ runs_seen_from_operator_side: runs = RUNS_UNTOLD }: Drawing, end: End): boolean {
  return seenFrom(vector(1, 0), end, runs).x < 0
}

/** The web path round the measuring roller, to scale, as seen from the named end. */
export function SideView(props: SideViewProps) {
  const [ref, width] = useWidth()
  const { path } = props.computed
  return (
    <div ref={ref} className={styles.view} data-testid="side-view">
      {width !== null && path !== null && <Picture {...props} path={path} width={width} />}
      {path === null && <p className={styles.none}>Nothing can be drawn from these figures.</p>}
    </div>
  )
}

function Picture({
  drawing,
  computed,
  path,
  width,
  sides,
  end,
  selected,
  onSelect,
  onChange,
  onSettle,
}: SideViewProps & { readonly path: NonNullable<Computed['path']>; readonly width: number }) {
  const drag = useDrag(onSettle)
  const needed = { bounds: boundsOf(path.rollers), margin: marginFor(drawing, computed, sides, width) }
  const { bounds, margin } = useHeld(needed, drag.isDragging)
  const height = heightFor(width)
  const isMirrored = isMirroredView(drawing, end)
  const frame = frameOf(bounds, width, height, margin, isMirrored)
  const places = rollersOf(drawing).map(({ place }) => place)
  const roller = path.rollers[path.measuring]
  const normal = computed.figures?.levels.normal ?? null
  const isFixed = (place: RollerPlace) =>
    drawing.moving?.kind === 'dancer-arm' && drawing.moving.now_deg !== undefined && isMovingPlace(drawing, place)
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be a picture
    <svg
      className={styles.picture}
      width={width}
      height={height}
      role="group"
      aria-label={`Web path to scale, seen from the ${end === 'drive_side' ? 'drive' : 'operator'} side`}
    >
      <Names rollers={path.rollers} places={places} measuring={path.measuring} frame={frame} />
      <Rollers {...{ places, frame, drag, selected, onSelect, onChange, isFixed }} rollers={path.rollers} />
      <WebLines path={path} frame={frame} />
      {normal !== null && roller !== undefined && (
        <Forces
          roller={roller}
          wrap={normal.expected.wrap}
          webTension={Math.max(0, normal.state.tension - normal.expected.momentum)}
          weight={drawing.roller_mass_kg * (drawing.gravity_m_s2 ?? 9.80665)}
          frame={frame}
        />
      )}
      {roller !== undefined && <LoadArrows {...{ sides, drawing, roller, frame, drag, onChange }} />}
      <Orientation frame={frame} />
    </svg>
  )
}

interface Shown {
  readonly bounds: Bounds
  readonly margin: number
}

/** The frame stands still while something is dragged, and as long as it serves. */
function useHeld(needed: Shown, isDragging: boolean): Shown {
  const [held, setHeld] = useState(needed)
  if (isDragging || (held.margin === needed.margin && stillServes(held.bounds, needed.bounds))) return held
  setHeld(needed)
  return needed
}

/** Arrows along the pull point between the neighbours, where there is room; one that points away needs its own. */
function marginFor(drawing: Drawing, { figures }: Computed, sides: readonly Side[], width: number): number {
  const pull = figures?.levels.normal.expected.wrap.pull
  const isAway = (side: Side) => pull === undefined || dot(unitAt(radians(arrowOf(drawing, side))), pull) < 0
  return Math.min(sides.some(isAway) ? 140 : 64, width / 5)
}

const heightFor = (width: number): number =>
  Math.round(Math.min(620, Math.max(ARROW_REACH.operator_side * 3, width * 0.66)))

/** The moving neighbour's place: the last before or the first after the measuring roller. */
function isMovingPlace({ moving, rollers }: Drawing, place: RollerPlace): boolean {
  const index = moving?.at === 'before' ? rollers.before.length - 1 : 0
  return moving !== undefined && placeKey(place) === placeKey({ group: moving.at, index })
}

/** Which way is downstream, which way is down, and how long 100 mm are. */
function Orientation({ frame }: { readonly frame: ViewFrame }) {
  const { height, isMirrored } = frame
  const mm = scaleBar(frame)
  const long = (mm / 1000) * frame.scale
  const y = height - 14
  return (
    <g className={styles.orientation}>
      <path d={`M14.5 ${y - 5}v10M14.5 ${y}h${long.toFixed(1)}M${(14.5 + long).toFixed(1)} ${y - 5}v10`} />
      <text x={22 + long} y={y}>
        {mm} mm
      </text>
      <text x={frame.width - 14} y={y} className={styles.flow}>
        {isMirrored ? '← downstream' : 'downstream →'}
      </text>
    </g>
  )
}
