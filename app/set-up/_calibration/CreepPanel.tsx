import { useState } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { ringOf } from '../../_stream/store.ts'
import { formatNumber, formatTrimmed, NBSP } from '../../_ui/format.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import styles from './Calibration.module.css'
import { Waiting } from './CapturePanel.tsx'
import { FigureTable } from './FitFigures.tsx'
import { Refusal } from './Refusal.tsx'
import { decimalsOf } from './reading-words.ts'
import { type Hold, type TypedFields, withHeld } from './session.ts'
import { TypedField } from './TypedField.tsx'
import { type SideFit, useCalibration } from './use-calibration.ts'
import { useCapture } from './use-capture.ts'
import { useHold } from './use-hold.ts'

interface CreepPanelProps {
  readonly view: GeometryView
  readonly sides: readonly Side[]
  readonly hindrance: string | null
}

/** What the reading does under a weight that hangs for half an hour. */
export function CreepPanel({ view, sides: all, hindrance }: CreepPanelProps) {
  const { session, change, type, sides, fits } = useCalibration(view, all)
  const capture = useCapture(view.zone.id, view)
  const [dropped, setDropped] = useState<Hold | null>(null)
  const { hold, typed } = session
  useHold(hold, capture, sides, (taken) => change((now) => withHeld(now, taken)))
  const mass = typedNumber(typed.holdMass)
  const isRunning = hold !== null && hold.endMs === null
  const begin = () => {
    const ring = ringOf(view.zone.id)
    if (mass === null || ring === null || ring.length === 0) return
    setDropped(hold)
    change((now) => ({ ...now, hold: { mass, startMs: ring.timeAt(ring.length - 1), endMs: null, readings: [] } }))
  }
  const end = () =>
    change((now) => {
      const last = now.hold?.readings.at(-1)
      return now.hold === null ? now : { ...now, hold: last === undefined ? null : { ...now.hold, endMs: last.timeMs } }
    })
  return (
    <div className={styles.flow} data-testid="creep">
      <p className={styles.instruction}>
        Hang a heavy weight, best near the largest tension, and begin at once when it hangs still: the first reading
        must come within 40 s. It then reads by itself for 30 minutes; keep this step open.
      </p>
      <p className={styles.caution}>
        Machine stopped and locked out for the whole time. Secure the weight against falling and fence off the floor
        under it: it hangs for half an hour, and nobody walks or reaches there.
      </p>
      <div className={styles.fields}>
        <TypedField
          label="Hanging"
          unit={typed.massUnit}
          value={typed.holdMass}
          onType={(holdMass) => type({ holdMass })}
          hint="at mid-span; all that hangs on the rope"
          testId="hold-mass"
        />
        <label className={styles.field}>
          <span>Class on the cells’ certificate</span>
          <select
            value={typed.cellClass}
            onChange={(event) => type({ cellClass: event.target.value as TypedFields['cellClass'] })}
            data-testid="cell-class"
          >
            <option value="C3">C3: 3000 intervals</option>
            <option value="C1">C1: 1000 intervals</option>
            <option value="D1">D1: 1000 intervals</option>
            <option value="none">none: for information only</option>
          </select>
          <span className={styles.hint}>OIML R 60; C1 is taken where none is named (common practice, no source)</span>
        </label>
      </div>
      <div className={styles.actions}>
        {isRunning ? (
          <button type="button" className="control" onClick={end} data-testid="end-hold">
            End here
          </button>
        ) : (
          <button
            type="button"
            className="control"
            disabled={mass === null || mass <= 0 || hindrance !== null}
            onClick={begin}
            data-testid="begin-hold"
          >
            {hold === null ? 'It hangs: begin' : 'Begin anew'}
          </button>
        )}
        {dropped !== null && dropped.readings.length > 0 && (
          <button
            type="button"
            className="control"
            onClick={() => {
              change((now) => ({ ...now, hold: dropped }))
              setDropped(null)
            }}
          >
            Bring the one before back
          </button>
        )}
        <Waiting capture={capture} sides={sides} hindrance={hindrance} />
      </div>
      <HoldTable hold={hold} view={view} sides={sides} massUnit={typed.massUnit} />
      {hold !== null && (
        <>
          <h2>Creep in % of span</h2>
          <div className={styles.fits}>
            {fits.map((fit) => (
              <Told key={fit.side} {...fit} />
            ))}
          </div>
        </>
      )}
    </div>
  )
}

/** Seconds that the definitions ask for, and how they are called. */
const MARKS = [0, 30, 300, 1200, 1800] as const

interface HoldTableProps {
  readonly hold: Hold | null
  readonly view: GeometryView
  readonly sides: readonly Side[]
  readonly massUnit: string
}

/** The first reading, those nearest to the times that count, and the newest: each with what it moved since the first. */
function HoldTable({ hold, view, sides, massUnit }: HoldTableProps) {
  const first = hold?.readings[0]
  if (hold === null || first === undefined)
    return <p className={styles.soft}>{hold === null ? 'No hold yet.' : 'Waits for the first reading.'}</p>
  const second = ({ timeMs }: Hold['readings'][number]) => (timeMs - hold.startMs) / 1000
  const shown = MARKS.flatMap((mark) => hold.readings.find((one) => second(one) >= mark) ?? [])
  const newest = hold.readings.at(-1)
  const rows = [...new Set(newest === undefined ? shown : [...shown, newest])]
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reachable by keyboard
    <section className={styles.scroll} aria-label="Readings of the hold" tabIndex={0}>
      <table className={styles.points} data-testid="hold">
        <caption className="heard-only">
          {hold.readings.length} readings under {formatTrimmed(hold.mass)} {massUnit}
        </caption>
        <thead>
          <tr>
            <th scope="col">Since it hangs</th>
            {sides.map((side) => (
              <th key={side} scope="col">
                {SIDES[side].title}, moved since the first ± standard uncertainty
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.timeMs}>
              <th scope="row">{sinceWords(second(row))}</th>
              {sides.map((side) => (
                <td key={side}>{movedWords(view, side, first, row)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <p className={styles.soft} data-testid="hold-count">
        {hold.readings.length} readings in {sinceWords(newest === undefined ? 0 : second(newest))} under{' '}
        {`${formatTrimmed(hold.mass)}${NBSP}${massUnit}`}; {hold.endMs === null ? 'it goes on' : 'ended'}.
      </p>
    </section>
  )
}

const sinceWords = (seconds: number): string =>
  `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, '0')}${NBSP}min`

function movedWords(
  view: GeometryView,
  side: Side,
  first: Hold['readings'][number],
  row: Hold['readings'][number],
): string {
  const [cell, from, to] = [view.zone.cells[side], first.readings[side], row.readings[side]]
  if (cell === undefined || from === undefined || to === undefined) return 'not taken'
  const unit = cell.electricalUnit ?? 'counts'
  const decimals = Math.min(6, decimalsOf(cell.step, to.reading) + 1)
  const at = `${formatNumber(to.reading, decimals)}${NBSP}${unit}`
  if (row === first) return `${at} (the first)`
  const u = Math.hypot(from.u, to.u, cell.step === null ? 0 : cell.step / Math.sqrt(6))
  const moved = to.reading - from.reading
  return `${moved > 0 ? '+' : ''}${formatNumber(moved, decimals)} ±${NBSP}${formatNumber(u, decimals)}${NBSP}${unit}, at ${at}`
}

function Told({ side, prepared, answer }: SideFit) {
  const creep = answer?.ok ? answer.value.creep : null
  return (
    <section className={styles.fit} aria-label={SIDES[side].title} data-testid={`creep-${side}`}>
      <h3>
        <SideSwatch side={side} /> {SIDES[side].title}
      </h3>
      {!prepared.ok && (
        <p className={styles.soft}>Not computed: {prepared.missing}. Creep is told in % of the span of the line.</p>
      )}
      {answer !== null && !answer.ok && <Refusal failure={answer.failure} what="Not computed." />}
      {creep != null && (
        // biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reachable by keyboard
        <section className={styles.scroll} aria-label={`Creep, ${SIDES[side].name}`} tabIndex={0}>
          <FigureTable
            figures={[
              { name: 'fiveMinutes', label: 'From 30 s to 5 min', figure: creep.fiveMinutes },
              { name: 'thirtyMinutes', label: 'Largest within 30 min', figure: creep.thirtyMinutes },
              { name: 'lastTenMinutes', label: 'From 20 to 30 min', figure: creep.lastTenMinutes },
            ]}
          />
        </section>
      )}
    </section>
  )
}
