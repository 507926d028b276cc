import type { StoredEvent } from '../../shared/schemas/events.ts'
import { isTyped } from '../../shared/schemas/events.ts'
import { useNames } from '../_language/choice.ts'
import { useHello } from '../_stream/store.ts'
import { formatClock, formatDay } from '../_ui/format.ts'
import { detailsOf, KIND_WORDS } from './event-words.ts'
import styles from './Trail.module.css'

/** One line of the trail: when, what it is about, who, the sentence, and the details for who wants them. */
export function EventRow({ event }: { readonly event: StoredEvent }) {
  const details = detailsOf(event.data)
  useNames() // of zones and devices: they stand inside the sentence
  const zones = useHello()?.zones.zones
  return (
    <li data-testid="trail-event" data-kind={event.kind}>
      <p className={styles.line}>
        <time dateTime={new Date(event.timeMs).toISOString()}>
          {formatDay(event.timeMs)} {formatClock(event.timeMs)}
        </time>
        <strong>{KIND_WORDS[event.kind]}</strong>
        {event.zone !== null && (
          /* A zone that left the config keeps its id. */
          <span>{zones?.find((one) => one.id === event.zone)?.name ?? event.zone}</span>
        )}
        <span className={event.who === null ? styles.soft : undefined} translate={event.who === null ? 'yes' : 'no'}>
          {event.who ?? 'nobody signed'}
        </span>
      </p>
      <p className={styles.words} translate={isTyped(event.kind) ? 'no' : 'yes'}>
        {event.text}
      </p>
      {details.length > 0 && (
        <details>
          <summary>
            details<span className="heard-only"> of event {event.id}</span>
          </summary>
          <dl className={styles.details}>
            {details.map(({ key, value }) => (
              <div key={key}>
                <dt translate="no">{key}</dt>
                <dd translate="no">{value}</dd>
              </div>
            ))}
          </dl>
        </details>
      )}
    </li>
  )
}
