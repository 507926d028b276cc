import type { TrainingResult } from '../../shared/schemas/training.ts'
import { formatClock, formatDay } from '../_ui/format.ts'

/** Cells that every table of results has. */

export function EndedCell({ endedMs }: TrainingResult) {
  return (
    <td>
      {formatDay(endedMs)} {formatClock(endedMs)}
    </td>
  )
}

export function PointsCell({ points, most }: TrainingResult) {
  return <td>{points === null ? 'being worked out' : `${points} of ${most}`}</td>
}

/** The way to the debrief. */
export function DebriefCell({ onOpen }: { readonly onOpen: () => void }) {
  return (
    <td>
      <button type="button" className="control" onClick={onOpen}>
        Open
      </button>
    </td>
  )
}
