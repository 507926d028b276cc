import type { WaitingEntry } from '../_model/entry-box.ts'
import styles from '../Verification.module.css'

interface WaitingListProps {
  readonly waiting: readonly WaitingEntry[]
  readonly drop: (key: string) => void
}

/** What this browser has and the record has not yet. */
export function WaitingList({ waiting, drop }: WaitingListProps) {
  if (waiting.length === 0) return null
  return (
    <ul className={styles.waitingList} data-testid="waiting-entries" aria-live="polite">
      {waiting.map(({ entry, refused }) => (
        <li key={entry.key} className={refused === null ? styles.soft : styles.failure}>
          {refused === null
            ? 'On its way to the record; it stays in this browser until it is there.'
            : `Not taken: ${refused}`}
          {refused !== null && (
            <button type="button" className="control" onClick={() => drop(entry.key)}>
              Let it go
            </button>
          )}
        </li>
      ))}
    </ul>
  )
}
