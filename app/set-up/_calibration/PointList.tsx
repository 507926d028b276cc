import type { Side } from '../../../shared/sample.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { formatClock, formatTrimmed, NBSP } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import styles from './Calibration.module.css'
import { readingWords } from './reading-words.ts'
import type { Session, SessionPoint } from './session.ts'

interface PointListProps {
  readonly session: Session
  readonly view: GeometryView
  readonly sides: readonly Side[]
  readonly onRetake: (point: SessionPoint) => void
  readonly onUse: (id: number, used: boolean) => void
}

/** Every point that was captured, also the ones that were retaken. */
export function PointList({ session, view, sides, onRetake, onUse }: PointListProps) {
  if (session.points.length === 0) return <p className={styles.soft}>No point yet. The first is the bare roller.</p>
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reachable by keyboard
    <section className={styles.scroll} aria-label="Captured points" tabIndex={0}>
      <table className={styles.points} data-testid="points">
        <thead>
          <tr>
            <th scope="col">Cycle</th>
            <th scope="col">Hung</th>
            <th scope="col">Reached from</th>
            {sides.map((side) => (
              <th key={side} scope="col">
                {SIDES[side].title}, reading ± standard uncertainty
              </th>
            ))}
            <th scope="col">At</th>
            <th scope="col">In the fit</th>
            <th scope="col">
              <span className="heard-only">Again</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {session.points.map((point) => (
            <tr key={point.id} data-used={point.used}>
              <td>{point.cycle}</td>
              <th scope="row">
                {point.mass === 0 ? 'bare roller' : `${formatTrimmed(point.mass)}${NBSP}${point.massUnit}`}
              </th>
              <td>{point.direction === 'up' ? 'below ▲' : 'above ▼'}</td>
              {sides.map((side) => {
                const cell = view.zone.cells[side]
                const taken = point.readings[side]
                const unit = cell?.electricalUnit ?? 'counts'
                return (
                  <td key={side}>
                    {taken === undefined ? 'not taken' : readingWords(taken.reading, taken.u, cell?.step ?? null, unit)}
                  </td>
                )
              })}
              <td>{formatClock(point.timeMs)}</td>
              <td>
                <label className={styles.tick}>
                  <input
                    type="checkbox"
                    checked={point.used}
                    onChange={(event) => onUse(point.id, event.target.checked)}
                  />
                  <span>{point.used ? 'used' : 'left out'}</span>
                </label>
              </td>
              <td>
                <button type="button" className="control" onClick={() => onRetake(point)}>
                  Retake
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
