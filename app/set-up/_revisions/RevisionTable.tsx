import { useEffect, useState } from 'react'
import { type RevisionEntry, type RevisionList, revisionList } from '../../../shared/schemas/config-write.ts'
import { type Answer, askGateway } from '../../_ui/ask.ts'
import { formatClock, formatDay } from '../../_ui/format.ts'
import styles from './Revisions.module.css'

const SHOWN = 50

/** Who changed what in the config, when, from what to what. Asked anew for each revision in force. */
export function RevisionTable({ revision }: { readonly revision: string }) {
  const [answer, setAnswer] = useState<Answer<RevisionList> | null>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another revision is another answer
  useEffect(() => {
    const asking = new AbortController()
    askGateway(`/api/revisions?limit=${SHOWN}`, revisionList, { signal: asking.signal })
      .then(setAnswer)
      .catch(() => {}) // aborted: another question is on its way
    return () => asking.abort()
  }, [revision])
  if (answer === null) return <p className={styles.soft}>Asking the gateway…</p>
  if (!answer.ok)
    return (
      <p role="alert">
        Not read: {answer.failure.message} {answer.failure.remedy}
      </p>
    )
  const { revisions, total } = answer.value
  return (
    <>
      <ol className={styles.list} data-testid="revision-list">
        {revisions.map((entry) => (
          <Entry
            key={`${entry.timeMs} ${entry.revision}`}
            entry={entry}
            isInForce={entry.revision === answer.value.current}
          />
        ))}
      </ol>
      <p className={styles.soft}>
        {total > revisions.length ? `The newest ${revisions.length} of ${total}. ` : ''}The whole text of each is kept
        beside the config file.
      </p>
    </>
  )
}

const ACTIONS: Record<RevisionEntry['action'], string> = {
  'first seen': 'first seen',
  'edited by hand': 'edited by hand',
  geometry: 'geometry',
  zero: 'zero taken',
  calibration: 'calibrated',
}

function Entry({ entry, isInForce }: { readonly entry: RevisionEntry; readonly isInForce: boolean }) {
  return (
    <li>
      <p className={styles.line}>
        <span>
          {formatDay(entry.timeMs)} {formatClock(entry.timeMs)}
        </span>
        <strong>{ACTIONS[entry.action]}</strong>
        <span translate={entry.who === null ? 'yes' : 'no'}>{entry.who ?? 'nobody signed'}</span>
        <code>{entry.revision}</code>
        {isInForce && <span className={styles.inForce}>in force</span>}
      </p>
      <p className={styles.words}>{entry.words}</p>
      {(entry.changes.length > 0 || entry.record !== null) && (
        <details>
          <summary>
            before and after<span className="heard-only"> of revision {entry.revision}</span>
          </summary>
          {entry.changes.length > 0 && <Changes entry={entry} />}
          {entry.record !== null && (
            <p className={styles.soft}>
              From {entry.record.points.filter(({ used }) => used).length} points of {entry.record.points.length}{' '}
              captured; they stand in the record of this revision.
            </p>
          )}
        </details>
      )}
    </li>
  )
}

function Changes({ entry }: { readonly entry: RevisionEntry }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a table that scrolls must be reachable by keyboard
    <section className={styles.scroll} aria-label={`Keys changed by revision ${entry.revision}`} tabIndex={0}>
      <table className={styles.changes}>
        <thead>
          <tr>
            <th scope="col">Key</th>
            <th scope="col">Before</th>
            <th scope="col">After</th>
          </tr>
        </thead>
        <tbody>
          {entry.changes.map(({ key, before, after }) => (
            <tr key={key}>
              <th scope="row">{key}</th>
              <td>{inWords(before)}</td>
              <td>{inWords(after)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function inWords(value: unknown): string {
  if (value === undefined) return 'not there'
  return typeof value === 'object' ? JSON.stringify(value) : String(value)
}
