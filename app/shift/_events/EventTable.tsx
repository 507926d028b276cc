import type { StoredEvent } from '../../../shared/schemas/events.ts'
import { isTyped } from '../../../shared/schemas/events.ts'
import { formatClock, formatDay, formatNumber } from '../../_ui/format.ts'
import { FLAG_WORDS, flagKindOf } from '../_model/axis-flags.ts'
import { FlagShape } from '../_plot/FlagShape.tsx'
import shiftStyles from '../Shift.module.css'
import styles from './Events.module.css'

const SHOWN = 100

interface EventTableProps {
  /** Newest first. */
  readonly events: readonly StoredEvent[]
  readonly onGo: (tMs: number) => void
}

/** What happened in the shift, newest first; each leads the cursor to its time. */
export function EventTable({ events, onGo }: EventTableProps) {
  if (events.length === 0) return <p>Nothing was noted, changed or lost in this stretch.</p>
  const shown = events.slice(0, SHOWN)
  return (
    <>
      <ol className={styles.list} data-testid="event-list">
        {shown.map((event) => (
          <li key={event.id} data-kind={event.kind}>
            <button type="button" className={styles.event} onClick={() => onGo(event.timeMs)}>
              <Mark event={event} />
              <span className={styles.time}>
                {formatDay(event.timeMs)} {formatClock(event.timeMs)}
              </span>
              <span className={styles.text}>
                <span translate={isTyped(event.kind) ? 'no' : 'yes'}>{event.text}</span>
                {event.who !== null && (
                  <span className={shiftStyles.soft} translate="no">
                    {' '}
                    {event.who}
                  </span>
                )}
              </span>
            </button>
          </li>
        ))}
      </ol>
      {events.length > SHOWN && (
        <p className={shiftStyles.soft}>
          and {formatNumber(events.length - SHOWN, 0)} older; look closer to list them.
        </p>
      )}
    </>
  )
}

function Mark({ event }: { readonly event: StoredEvent }) {
  const kind = flagKindOf(event.kind)
  return (
    <span className={styles.mark}>
      {kind !== null && <FlagShape kind={kind} />}
      <span>{kind === null ? event.kind : FLAG_WORDS[kind]}</span>
    </span>
  )
}
