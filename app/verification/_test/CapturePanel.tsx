import type { CaptureAsk } from '../../../shared/schemas/verification/capture.ts'
import type { PlanCapture } from '../../../shared/schemas/verification/plan.ts'
import type { TestValues } from '../../../shared/schemas/verification.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { formatClock, formatDuration } from '../../_ui/format.ts'
import { StepRing } from '../../_ui/StepRing.tsx'
import { AWAKE_WORDS } from '../../_ui/stay-awake.ts'
import type { Draft } from '../_model/draft-store.ts'
import { nextValues, wrongNumbers } from '../_model/typed-values.ts'
import type { GatedCapture } from '../_model/use-gated-capture.ts'
import styles from '../Verification.module.css'
import { Fields } from './Fields.tsx'
import { MovedSides } from './MovedSides.tsx'

/** From so long on a capture may begin in the past: what was recorded since counts. */
const LONG_S = 600
const PAST_HOURS = [0.5, 1, 2, 4, 8] as const

interface CapturePanelProps {
  readonly spec: PlanCapture
  readonly draft: Draft
  readonly gated: GatedCapture
  readonly zone: ZoneInfo
  readonly onNext: (id: string, value: TestValues[string] | undefined, text: string) => void
  readonly onPast: (hours: number) => void
  readonly onDrop: (key: string) => void
}

/** One stretch of live signal that the test asks for: begin, wait with its reason, and what was taken so far. */
export function CapturePanel({ spec, draft, gated, zone, onNext, onPast, onDrop }: CapturePanelProps) {
  const taken = draft.captures.filter(({ capture }) => capture === spec.id)
  const isRunning = gated.running === spec.id
  const values = nextValues(spec, draft)
  const wrong = wrongNumbers(spec.fields, draft.typed, `${spec.id}.`)
  const missing = spec.fields.filter(
    (field) => wrong.includes(field) || (field.required && values[field.id] === undefined),
  )
  const isReady = missing.length === 0 && gated.running === null
  return (
    <section
      className={styles.capture}
      aria-label={spec.label}
      data-testid={`capture-${spec.id}`}
      data-taken={taken.length}
    >
      <h3>
        {spec.label}{' '}
        <span className={styles.soft}>
          {taken.length} of {spec.times} taken{spec.required ? '' : ' (may be left)'}
        </span>
      </h3>
      <p>{spec.instruction}</p>
      {spec.fields.length > 0 && (
        <Fields fields={spec.fields} values={values} typed={draft.typed} prefix={`${spec.id}.`} onChange={onNext} />
      )}
      {isRunning ? (
        <Wait gated={gated} zone={zone} />
      ) : (
        <p className={styles.actions}>
          <button
            type="button"
            className="control"
            disabled={!isReady}
            onClick={() => gated.start(spec, values)}
            data-testid={`take-${spec.id}`}
          >
            Take it now
          </button>
          {spec.seconds >= LONG_S &&
            PAST_HOURS.map((hours) => (
              <button
                key={hours}
                type="button"
                className="control"
                disabled={!isReady}
                onClick={() => onPast(hours)}
                data-testid={`past-${spec.id}-${hours}`}
              >
                The last {formatDuration(hours * 3600)}
              </button>
            ))}
          {missing.length > 0 && (
            <span className={styles.soft}>first: {missing.map(({ label }) => label.toLowerCase()).join(', ')}</span>
          )}
        </p>
      )}
      <ul className={styles.taken}>
        {taken.map((capture) => (
          <li key={capture.key}>
            {captureWords(spec, capture)}
            <button type="button" className="control" onClick={() => onDrop(capture.key)}>
              Drop
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}

function Wait({ gated, zone }: { readonly gated: GatedCapture; readonly zone: ZoneInfo }) {
  const { look, moved, awake } = gated
  const isWaiting = look?.kind === 'waiting'
  return (
    <>
      <div className={styles.waiting} role="status">
        <StepRing share={isWaiting ? look.share : 1} />
        <p className={styles.waitWords}>{isWaiting ? look.words : 'taken'}</p>
        <button type="button" className="control" onClick={gated.cancel}>
          Stop
        </button>
      </div>
      {moved.length > 0 && <MovedSides zone={zone} moved={moved} />}
      <p className={awake === 'refused' || awake === 'absent' ? styles.failure : styles.soft} data-testid="stay-awake">
        {AWAKE_WORDS[awake]}
      </p>
    </>
  )
}

function captureWords({ fields }: PlanCapture, { fromMs, toMs, values }: CaptureAsk): string {
  const told = fields.flatMap(({ id, label, unit }) =>
    values[id] === undefined ? [] : [`${label.toLowerCase()} ${values[id]}${unit === null ? '' : ` ${unit}`}`],
  )
  return [`${formatClock(fromMs)}, ${formatDuration((toMs - fromMs) / 1000)}`, ...told].join('; ')
}
