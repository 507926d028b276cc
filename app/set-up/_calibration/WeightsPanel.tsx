import { useState } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { CalibrationResult } from '../../../shared/schemas/compute-calibration.ts'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import type { Answer } from '../../_ui/ask.ts'
import { SIDES } from '../../_ui/sides.ts'
import { AcceptPanel, type Proposal } from './AcceptPanel.tsx'
import styles from './Calibration.module.css'
import { CapturePanel } from './CapturePanel.tsx'
import { FitFigures } from './FitFigures.tsx'
import { FitPlot, type PlotSide } from './FitPlot.tsx'
import { LoadForm } from './LoadForm.tsx'
import { PointList } from './PointList.tsx'
import { type Prepared, plotPoints, recordPoints, requestFor } from './request.ts'
import { EMPTY_SESSION, type Session, withPoint, withUse } from './session.ts'
import type { Capture } from './use-capture.ts'
import { useFit } from './use-fit.ts'
import { useSession } from './use-session.ts'

interface WeightsPanelProps {
  readonly view: GeometryView
  /** The zone's own: two, or the one cell. */
  readonly sides: readonly Side[]
  readonly capture: Capture
  readonly hindrance: string | null
  readonly onWritten: (revision: string) => void
}

interface SideFit {
  readonly side: Side
  readonly prepared: Prepared
  readonly answer: Answer<CalibrationResult> | null
}

/** Zero and known weights, up and down: captured, fitted as they come, accepted or discarded. */
export function WeightsPanel({ view, sides: all, capture, hindrance, onWritten }: WeightsPanelProps) {
  const [session, change] = useSession(view.zone.id)
  const [discarded, setDiscarded] = useState<Session | null>(null)
  const sides = all.filter((side) => session.sides === 'both' || session.sides === side)
  const fits = useFits(session, sides, view)
  const type = (part: Partial<Session['typed']>) => change((now) => ({ ...now, typed: { ...now.typed, ...part } }))
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
          change((now) => ({ ...now, next: { cycle, direction, mass: String(mass) } }))
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
          <h2>Fit</h2>
          <FitPlot sides={fits.map((fit) => plotSide(session, view, fit))} />
          <div className={styles.fits}>
            {fits.map((fit) => (
              <FitFigures key={fit.side} {...fit} />
            ))}
          </div>
          <h2>Accept or discard</h2>
          <AcceptPanel
            view={view}
            proposals={fits.flatMap((fit) => proposalOf(session, view, fit))}
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

/** At most two sides; a hook for each, asked or not. */
function useFits(session: Session, sides: readonly Side[], view: GeometryView): SideFit[] {
  const prepared = sides.map((side) => requestFor(session, side, view))
  const answers = [useFit(prepared[0] ?? null), useFit(prepared[1] ?? null)]
  return sides.flatMap((side, i) => {
    const one = prepared[i]
    return one === undefined ? [] : [{ side, prepared: one, answer: answers[i] ?? null }]
  })
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

function proposalOf(session: Session, view: GeometryView, { side, prepared, answer }: SideFit): Proposal[] {
  if (!prepared.ok || !answer?.ok) return []
  const { line, gain, forcePerLoad, predictions: _, ...fit } = answer.value
  const unit = view.zone.cells[side]?.electricalUnit ?? 'counts'
  if (line === null || gain.value === null) return []
  const { readings: _readings, ...setUp } = prepared.request
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
          fit: { line, gain, forcePerLoad, ...fit },
          setUp: { ...setUp, typed: session.typed },
        },
      },
    },
  ]
}
