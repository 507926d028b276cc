import { useState } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { AcceptPanel, type Proposal } from './AcceptPanel.tsx'
import styles from './Calibration.module.css'
import { Waiting } from './CapturePanel.tsx'
import type { Capture, Captured } from './use-capture.ts'

interface ZeroPanelProps {
  readonly view: GeometryView
  readonly sides: readonly Side[]
  readonly capture: Capture
  readonly hindrance: string | null
  readonly onWritten: (revision: string) => void
}

/** The zero alone: the bare roller, steady, then before and after. */
export function ZeroPanel({ view, sides, capture, hindrance, onWritten }: ZeroPanelProps) {
  const [captured, setCaptured] = useState<Captured | null>(null)
  const isWaiting = capture.progress !== null
  return (
    <div className={styles.capture} data-testid="take-zero">
      <p className={styles.instruction}>
        Take web and rope off the measuring roller; nothing may touch it. Then capture:{' '}
        {sides.length > 1 ? 'both sides' : 'the cell'} must stand still for a few seconds.
      </p>
      <div className={styles.actions}>
        <button
          type="button"
          className="control"
          disabled={hindrance !== null && !isWaiting}
          onClick={() => (isWaiting ? capture.cancel() : capture.start(sides, setCaptured))}
          data-testid="capture-zero"
        >
          {isWaiting ? 'Stop waiting' : captured === null ? 'Capture the zero when steady' : 'Capture it again'}
        </button>
        <Waiting capture={capture} sides={sides} hindrance={hindrance} />
      </div>
      {captured !== null && (
        <AcceptPanel
          view={view}
          proposals={zeroProposals(view, sides, captured)}
          onWritten={(revision) => {
            setCaptured(null)
            onWritten(revision)
          }}
          onDiscard={() => setCaptured(null)}
        />
      )}
    </div>
  )
}

function zeroProposals(view: GeometryView, sides: readonly Side[], { readings, timeMs }: Captured): Proposal[] {
  return sides.flatMap((side) => {
    const [cell, taken] = [view.zone.cells[side], readings[side]]
    if (cell === undefined || taken === undefined) return []
    const point = {
      ...taken,
      cycle: 1,
      direction: 'up' as const,
      mass: 0,
      massUnit: 'kg' as const,
      forceN: 0,
      timeMs,
      used: true,
    }
    const unit = cell.electricalUnit ?? 'counts'
    return [{ side, change: { zero: taken.reading, record: { kind: 'zero' as const, unit, points: [point] } } }]
  })
}
