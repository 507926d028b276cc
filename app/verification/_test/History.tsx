import type { PlanTest } from '../../../shared/schemas/verification/plan.ts'
import type { NewEntry, RecordEntry } from '../../../shared/schemas/verification.ts'
import { typed } from '../../_language/current.ts'
import type { Signature } from '../../_ui/access/signature.ts'
import { formatClock, formatDay } from '../../_ui/format.ts'
import styles from '../Verification.module.css'
import { CorrectEntry } from './CorrectEntry.tsx'
import { ResultTable } from './ResultTable.tsx'
import { SampledNote } from './SampledNote.tsx'

interface HistoryProps {
  readonly test: PlanTest
  /** Of this test, oldest first. */
  readonly entries: readonly RecordEntry[]
  readonly all: readonly RecordEntry[]
  readonly recordId: string
  readonly add: (entry: NewEntry) => void
  readonly signature: Signature
}

/** Everything that was kept of a test, the newest first: no result replaces another, each can be corrected. */
export function History({ test, entries, all, recordId, add, signature }: HistoryProps) {
  if (entries.length === 0) return null
  return (
    <section className={styles.history} aria-label="Kept in the record">
      <h3>Kept in the record</h3>
      {entries.toReversed().map((entry) => (
        <div key={entry.seq} className={styles.entry} data-testid={`entry-${entry.seq}`}>
          <p className={styles.soft}>
            Entry {entry.seq}, {formatDay(entry.timeMs)} {formatClock(entry.timeMs)}, {typed(entry.who)}
            {entry.kind === 'result' &&
              `; ${entry.phase === 'as-found' ? 'as found' : 'as left'}, attempt ${entry.attempt}`}
          </p>
          <EntryBody entry={entry} recordId={recordId} />
          {entry.kind === 'result' && <SampledNote captures={entry.captures} test={test} />}
          {all.map(
            (one) =>
              one.kind === 'correction' &&
              one.of === entry.seq && (
                <p key={one.seq} className={styles.correction}>
                  Corrected by {typed(one.who)}: {typed(one.text)}
                </p>
              ),
          )}
          <CorrectEntry record={recordId} seq={entry.seq} add={add} signature={signature} />
        </div>
      ))}
    </section>
  )
}

function EntryBody({ entry, recordId }: { readonly entry: RecordEntry; readonly recordId: string }) {
  switch (entry.kind) {
    case 'result':
      return <ResultTable result={entry.result} label={`${entry.title}, attempt ${entry.attempt}`} />
    case 'not-done':
      return <p>Not done: {typed(entry.reason)}</p>
    case 'note':
      return <p translate="no">{entry.text}</p>
    case 'photo':
      return (
        <figure className={styles.photo}>
          {/* biome-ignore lint/performance/noImgElement: a static export has no image server */}
          <img
            src={`/api/verifications/${recordId}/photos/${entry.sha256}`}
            alt={entry.caption === '' ? 'photo without a caption' : entry.caption}
          />
          <figcaption translate="no">{entry.caption}</figcaption>
        </figure>
      )
    default:
      return null
  }
}
