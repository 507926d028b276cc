import type { Side } from '../../../shared/sample.ts'
import { StepRing } from '../../_ui/StepRing.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { typedNumber } from '../../_ui/typed-number.ts'
import styles from './Calibration.module.css'
import { CYCLES, type Session, type TypedFields, turnedRound } from './session.ts'
import { TypedField } from './TypedField.tsx'
import type { Capture } from './use-capture.ts'

interface CapturePanelProps {
  readonly session: Session
  readonly capture: Capture
  readonly sides: readonly Side[]
  /** Why nothing can be captured; null when it can. */
  readonly hindrance: string | null
  readonly onNext: (next: Session['next']) => void
  readonly onType: (part: Partial<TypedFields>) => void
  readonly onCapture: (mass: number) => void
}

/** What hangs on the rope now, and the wait until it stands still. */
export function CapturePanel({ session, capture, sides, hindrance, onNext, onType, onCapture }: CapturePanelProps) {
  const { next, typed } = session
  const mass = typedNumber(next.mass)
  const isReady = mass !== null && mass >= 0 && hindrance === null
  const isWaiting = capture.progress !== null
  const canTurn = next.direction === 'up' && session.points.some((p) => p.used && p.cycle === next.cycle && p.mass > 0)
  return (
    <form
      className={styles.capture}
      data-testid="capture"
      onSubmit={(event) => {
        event.preventDefault()
        if (isReady && !isWaiting) onCapture(mass)
      }}
    >
      <p className={styles.instruction} data-testid="instruction">
        {instruction(session)}
      </p>
      <div className={styles.fields}>
        <TypedField
          label="Hanging now"
          unit={typed.massUnit}
          value={next.mass}
          onType={(value) => onNext({ ...next, mass: value })}
          hint="all that hangs on the rope, its hook included; 0 is the bare roller"
          testId="mass"
        />
        <label className={styles.field}>
          <span>Unit</span>
          <select
            value={typed.massUnit}
            onChange={(event) => onType({ massUnit: event.target.value as TypedFields['massUnit'] })}
            disabled={session.points.length > 0}
          >
            <option value="kg">kg</option>
            <option value="lb">lb</option>
          </select>
          <span className={styles.hint}>{session.points.length > 0 ? 'fixed by the first point' : ''}</span>
        </label>
        <label className={styles.field}>
          <span>Reached from</span>
          <select
            value={next.direction}
            onChange={(event) => onNext({ ...next, direction: event.target.value as 'up' | 'down' })}
          >
            <option value="up">below (loading)</option>
            <option value="down">above (unloading)</option>
          </select>
        </label>
        <label className={styles.field}>
          <span>Cycle</span>
          <select value={next.cycle} onChange={(event) => onNext({ ...next, cycle: Number(event.target.value) })}>
            {CYCLES.map((cycle) => (
              <option key={cycle}>{cycle}</option>
            ))}
          </select>
        </label>
      </div>
      <div className={styles.actions}>
        {isWaiting ? (
          <button type="button" className="control" onClick={capture.cancel}>
            Stop waiting
          </button>
        ) : (
          <button type="submit" className="control" disabled={!isReady} data-testid="capture-button">
            Capture when steady
          </button>
        )}
        <button
          type="button"
          className="control"
          disabled={!canTurn || isWaiting}
          onClick={() => onNext(turnedRound(session, next.cycle))}
          data-testid="turn-round"
        >
          Now downwards
        </button>
        <Waiting capture={capture} sides={sides} hindrance={hindrance} />
      </div>
    </form>
  )
}

/** The ring and what it waits for, side by side. */
export function Waiting({
  capture: { progress },
  sides,
  hindrance,
}: Pick<CapturePanelProps, 'capture' | 'sides' | 'hindrance'>) {
  if (progress === null) return <p className={styles.soft}>{hindrance ?? ''}</p>
  return (
    <div className={styles.waiting} data-testid="waiting">
      <StepRing share={progress.share} />
      <ul aria-live="polite">
        {Object.keys(progress.bySide).length === 0 && <li>{progress.words}</li>}
        {sides.map((side) => {
          const one = progress.bySide[side]
          if (one === undefined) return null
          return (
            <li key={side}>
              {SIDES[side].title}: {one.kind === 'steady' ? 'steady' : one.words}
            </li>
          )
        })}
      </ul>
    </div>
  )
}

function instruction({ next, points, typed }: Session): string {
  const used = points.filter(({ used: isUsed }) => isUsed)
  if (used.length === 0) return 'Take rope and web off the measuring roller and capture the zero of the bare roller.'
  const mass = typedNumber(next.mass)
  if (next.direction === 'up') {
    if (mass === 0) return `Cycle ${next.cycle}: take everything off and capture the zero again.`
    if (mass === null)
      return 'Hang the next heavier weight, type it, let it settle. After the heaviest: “Now downwards”.'
    return `Cycle ${next.cycle}: hang ${next.mass} ${typed.massUnit} from below.`
  }
  if (mass === 0) return 'Take everything off: the zero after unloading shows whether it comes back.'
  const heaviest = used.reduce((most, point) => Math.max(most, point.mass), 0)
  if (mass === heaviest)
    return `Press the ${next.mass} ${typed.massUnit} a little further down and let it come back from above.`
  return `Take weight off, down to ${next.mass} ${typed.massUnit}.`
}
