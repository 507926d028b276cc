import { useId, useState } from 'react'
import { formatDuration } from '../../_ui/format.ts'
import { useRememberedText } from '../../_ui/remembered.ts'
import styles from './Alarms.module.css'

/** Times that work takes; the longest that the config allows is the last. */
const MINUTES = [15, 30, 60, 120, 240, 480, 720, 1440, 2880, 4320]
/** A reason typed and not sent survives a reload. */
const REASON_KEY = 'evenpull.alarm-reason'

interface PutAsideFormProps {
  readonly kind: 'shelve' | 'out-of-service'
  readonly longestMinutes: number
  readonly isBusy: boolean
  /** Resolves to whether it was done. */
  readonly onSubmit: (body: { reason: string; minutes?: number }) => Promise<boolean>
  readonly onCancel: () => void
}

/** Why an alarm is put aside, and for how long: shelving always ends, out of service ends when somebody says so. */
export function PutAsideForm({ kind, longestMinutes, isBusy, onSubmit, onCancel }: PutAsideFormProps) {
  const id = useId()
  const [reason, setReason] = useRememberedText(REASON_KEY, '')
  const [minutes, setMinutes] = useState(Math.min(30, longestMinutes))
  const [isAsked, setAsked] = useState(false)
  const isReasonMissing = isAsked && reason.trim() === ''
  const choices = [...new Set([...MINUTES.filter((one) => one < longestMinutes), longestMinutes])]
  const submit = async () => {
    setAsked(true)
    if (reason.trim() === '') return
    if (await onSubmit({ reason: reason.trim(), ...(kind === 'shelve' ? { minutes } : {}) })) setReason('')
  }
  return (
    <form
      className={styles.form}
      onSubmit={(event) => {
        event.preventDefault()
        void submit()
      }}
    >
      <div className={`${styles.field} ${styles.reason}`}>
        <label htmlFor={id}>Reason</label>
        <input
          id={id}
          autoComplete="off"
          maxLength={200}
          value={reason}
          aria-invalid={isReasonMissing}
          aria-describedby={`${id}-note`}
          onChange={(event) => setReason(event.target.value)}
          data-testid="reason"
        />
        <span id={`${id}-note`} className={isReasonMissing ? styles.fault : styles.soft}>
          {isReasonMissing ? 'Say why.' : 'everybody sees it'}
        </span>
      </div>
      {kind === 'shelve' && (
        <div className={styles.field}>
          <label htmlFor={`${id}-minutes`}>For</label>
          <select
            id={`${id}-minutes`}
            value={minutes}
            onChange={(event) => setMinutes(Number(event.target.value))}
            data-testid="minutes"
          >
            {choices.map((one) => (
              <option key={one} value={one}>
                {formatDuration(one * 60)}
              </option>
            ))}
          </select>
          <span className={styles.soft}>active then, it calls again</span>
        </div>
      )}
      <div className={styles.actions}>
        <button type="submit" className="control" disabled={isBusy} data-testid={`submit-${kind}`}>
          {kind === 'shelve' ? 'Shelve' : 'Take out of service'}
        </button>
        <button type="button" className="control" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  )
}
