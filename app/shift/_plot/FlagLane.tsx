import { type AxisFlag, groupsOf } from '../_model/axis-flags.ts'
import type { Span } from '../_model/shift-choice.ts'
import styles from './Bands.module.css'
import { FlagShape } from './FlagShape.tsx'

/** Flags nearer to each other than this share a mark. */
const APART_PX = 26
/** Nearer to the end of the lane than this the count stands on the other side of its mark. */
const COUNT_PX = 28

interface FlagLaneProps {
  readonly flags: readonly AxisFlag[]
  readonly axis: Span
  /** Where time is drawn, CSS px; null before the first frame. */
  readonly area: { readonly left: number; readonly width: number } | null
}

/** What happened, on the axis above the bands. The list of events beside it says the same in words. */
export function FlagLane({ flags, axis, area }: FlagLaneProps) {
  return (
    <div className={styles.lane} aria-hidden="true" data-testid="flag-lane">
      {area !== null &&
        groupsOf(flags, axis.fromMs, axis.toMs, APART_PX / area.width).map(({ share, flags: [first, ...more] }) =>
          first === undefined ? null : (
            <span
              key={first.key}
              className={styles.flag}
              data-at-end={(1 - share) * area.width < COUNT_PX}
              style={{ left: area.left + share * area.width }}
            >
              <FlagShape kind={first.kind} />
              {more.length > 0 && `+${more.length}`}
            </span>
          ),
        )}
    </div>
  )
}
