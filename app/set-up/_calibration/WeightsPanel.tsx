import { useState } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { SIDES } from '../../_ui/sides.ts'
import { fieldNumber } from '../../_ui/typed-number.ts'
import { AcceptPanel, type Proposal } from './AcceptPanel.tsx'
import styles from './Calibration.module.css'
import { CapturePanel } from './CapturePanel.tsx'
import { FitFigures } from './FitFigures.tsx'
import { FitPlot, type PlotSide } from './FitPlot.tsx'
import { LoadForm } from './LoadForm.tsx'
import { PointList } from './PointList.tsx'
import { plotPoints, recordPoints } from './request.ts'
import { EMPTY_SESSION, type Session, withPoint, withUse } from './session.ts'
import { type SideFit, useCalibration } from './use-calibration.ts'
import type { Capture } from './use-capture.ts'

interface WeightsPanelProps {
  readonly view: GeometryView
  /** The zone's own: two, or the one cell. */
  readonly sides: readonly Side[]
  readonly capture: Capture
  readonly hindrance: string | null
  readonly onWritten: (revision: string) => void
}

/** Zero and known weights, up and down: captured, fitted as they come, accepted or discarded. */
export function WeightsPanel({ view, sides: all, capture, hindrance, onWritten }: WeightsPanelProps) {
  const { session, change, type, sides, fits, offCentre } = useCalibration(view, all)
  const [discarded, setDiscarded] = useState<Session | null>(null)
  const take = (mass: number) => {
    const { cycle, direction } = session.next
    capture.start(sides, ({ readings, timeMs }) => {
      setDiscarded(null)
      change((now) => {
        return withPoint(now, {
          cycle,
          direction,
          mass,
          massUnit: now.typed.massUnit,
          timeMs,
          readings: { ...readings },
        })
      })
    })
  }
  const clear = () => change((now) => ({ ...EMPTY_SESSION, sides: now.sides, typed: now.typed }))
  return (
    <div className={styles.flow}>
      {all.length > 1 && (
        <label className={styles.field}>
          <span>Captured at once</span>
          <select
            value={session.sides}
            onChange={(event) => change((now) => ({ ...now, sides: event.target.value }))}
            disabled={session.points.length > 0}
            data-testid="sides"
          >
            <option value="both">both sides, the rope at mid-span</option>
            {all.map((side) => (
              <option key={side} value={side}>
                {SIDES[side].name} only
              </option>
            ))}
          </select>
          <span className={styles.hint}>
            {session.points.length > 0 ? 'fixed by the first point' : 'each carries half'}
          </span>
        </label>
      )}
      <h2>Rope and weights</h2>
      <LoadForm typed={session.typed} view={view} sides={sides} onType={type} />
      <h2>Capture</h2>
      <CapturePanel
        session={session}
        capture={capture}
        sides={sides}
        hindrance={hindrance}
        onNext={(next) => change((now) => ({ ...now, next }))}
        onType={type}
        onCapture={take}
      />
      <PointList
        session={session}
        view={view}
        sides={sides}
        onRetake={({ cycle, direction, mass }) =>
          change((now) => ({ ...now, next: { cycle, direction, mass: fieldNumber(mass) } }))
        }
        onUse={(id, used) => change((now) => withUse(now, id, used))}
      />
      {discarded !== null && (
        <p className={styles.actions} role="status">
          Discarded {discarded.points.length} points.
          <button type="button" className="control" onClick={() => change(() => discarded)} data-testid="undo-discard">
            Bring them back
          </button>
        </p>
      )}
      {session.points.length > 0 && (
        <>
          <h2>Fitted line</h2>
          <FitPlot sides={fits.map((fit) => plotSide(session, view, fit))} />
          <div className={styles.fits}>
            {fits.map((fit) => (
              <FitFigures key={fit.side} {...fit} />
            ))}
          </div>
          <h2>Accept or discard</h2>
          <p className={styles.soft} data-testid="also-recorded">
            {alsoRecorded(session, offCentre.answer?.ok === true)}
          </p>
          <AcceptPanel
            view={view}
            proposals={fits.flatMap((fit) => proposalOf(session, view, fit, offCentre))}
            onWritten={(revision) => {
              clear()
              onWritten(revision)
            }}
            onDiscard={() => {
              setDiscarded(session)
              clear()
            }}
          />
        </>
      )}
    </div>
  )
}

function plotSide(session: Session, view: GeometryView, { side, prepared, answer }: SideFit): PlotSide {
  const fit = answer?.ok ? answer.value : null
  const points = fit === null ? [] : plotPoints(session, side, fit.forcePerLoad.newtons)
  return {
    side,
    unit: view.zone.cells[side]?.electricalUnit ?? 'counts',
    fit,
    // Without a force there is no place along the axis.
    points: prepared.ok ? points : [],
  }
}

/** What goes into the record beside the points. */
function alsoRecorded({ offCentre, hold }: Session, isChecked: boolean): string {
  const places = offCentre.filter(({ used }) => used).length
  const check = isChecked ? `an off-centre check of ${places} places` : null
  const held = hold === null || hold.readings.length === 0 ? null : `a hold of ${hold.readings.length} readings`
  const parts = [check, held].filter((part) => part !== null)
  return parts.length === 0
    ? 'Not in the record yet: off-centre check and creep. Both come after the weights and are kept with them.'
    : `Kept with the record: ${parts.join(' and ')}.`
}

function proposalOf(
  session: Session,
  view: GeometryView,
  { side, prepared, answer }: SideFit,
  check: Pick<SideFit, 'prepared' | 'answer'>,
): Proposal[] {
  if (!prepared.ok || !answer?.ok) return []
  const { line, gain, forcePerLoad, predictions: _, ...fit } = answer.value
  const unit = view.zone.cells[side]?.electricalUnit ?? 'counts'
  if (line === null || gain.value === null) return []
  const { readings: _readings, ...setUp } = prepared.request
  const checked =
    check.prepared.ok && check.answer?.ok
      ? { result: { offCentre: check.answer.value.offCentre }, asked: { offCentre: check.prepared.request.offCentre } }
      : null
  const uGain = gain.u === null ? {} : { uGainPercent: Math.min(100, (100 * gain.u) / Math.abs(gain.value)) }
  return [
    {
      side,
      change: {
        zero: line.zero,
        gainN: gain.value,
        ...uGain,
        record: {
          kind: 'known weights',
          unit,
          points: recordPoints(session, side, forcePerLoad.newtons),
          fit: { line, gain, forcePerLoad, ...fit, ...checked?.result },
          setUp: { ...setUp, ...checked?.asked, typed: session.typed },
        },
      },
    },
  ]
}
