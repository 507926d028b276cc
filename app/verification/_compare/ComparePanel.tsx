import type { VerificationRecord } from '../../../shared/schemas/verification.ts'
import type { ComparedFigures, RecordComparison } from '../../../shared/schemas/verification-compare.ts'
import { typed } from '../../_language/current.ts'
import { formatDay } from '../../_ui/format.ts'
import { setQuery, useQuery } from '../../_ui/query.ts'
import styles from '../Verification.module.css'
import compareStyles from './Compare.module.css'
import { ComparedTable } from './ComparedTable.tsx'
import { useComparison, useRecords } from './use-comparison.ts'

/** The record that this one is compared with, by the address; null for none. */
export const useEarlier = (): string | null => useQuery('compare')

/** A record against an earlier one of the zone: what changed beyond its uncertainty, what did not, what cannot be told. */
export function ComparePanel({ record }: { readonly record: VerificationRecord }) {
  const { id, zone } = record.head
  const earlier = useEarlier()
  const list = useRecords(zone)
  const { value, failure } = useComparison(id, record.digest, earlier)
  const others = (list.value?.records ?? []).filter((one) => one.id !== id)
  const said = failure ?? list.failure
  if (others.length === 0 && earlier === null && said === null) return null
  return (
    <section className={compareStyles.compare} aria-labelledby="compare" data-testid="compare-records">
      <h2 id="compare">Compared with an earlier record</h2>
      <label className={compareStyles.compareChoice}>
        Earlier record
        <select
          value={earlier ?? ''}
          onChange={(event) => setQuery('compare', event.target.value === '' ? null : event.target.value, 'push')}
          data-testid="compare-with"
        >
          <option value="">none</option>
          {others.map((one) => (
            <option key={one.id} value={one.id}>
              {formatDay(one.begunMs)}: {typed(one.title)}
              {one.signed ? '' : ' (open)'}
            </option>
          ))}
        </select>
      </label>
      {said !== null && <p className={styles.failure}>{said}</p>}
      {earlier !== null && value === null && failure === null && <p className={styles.soft}>Comparing.</p>}
      {value !== null && <Comparison comparison={value} />}
    </section>
  )
}

function Comparison({ comparison }: { readonly comparison: RecordComparison }) {
  const { onReturn, notes } = comparison
  return (
    <div className={compareStyles.comparison}>
      <ul className={styles.hints}>
        {notes.map((note) => (
          <li key={note} className={styles.soft}>
            {note}
          </li>
        ))}
      </ul>
      {onReturn !== null && (
        <Lists
          testId="compared-on-return"
          title="As left then, as found on this visit"
          lists={onReturn}
          columns={['As left then', 'As found now']}
        />
      )}
      <Lists
        testId="compared-now"
        title="Newest result then, newest result now"
        lists={comparison}
        columns={['Then', 'Now']}
      />
    </div>
  )
}

interface ListsProps {
  readonly testId: string
  readonly title: string
  readonly lists: ComparedFigures
  readonly columns: readonly [before: string, after: string]
}

function Lists({ testId, title, lists: { changed, unchanged, notComparable }, columns }: ListsProps) {
  return (
    <section className={compareStyles.compared} aria-label={title} data-testid={testId}>
      <h3>{title}</h3>
      <p data-testid="changed-count">
        {changed.length === 0
          ? 'Nothing changed beyond the uncertainty of both.'
          : `${changed.length} changed beyond the uncertainty of both.`}
      </p>
      {changed.length > 0 && <ComparedTable figures={changed} columns={columns} label={`Changed: ${title}`} />}
      {unchanged.length > 0 && (
        <details className={compareStyles.compareMore}>
          <summary>{unchanged.length} not told apart</summary>
          <ComparedTable figures={unchanged} columns={columns} label={`Not told apart: ${title}`} />
        </details>
      )}
      {notComparable.length > 0 && (
        <details className={compareStyles.compareMore}>
          <summary>{notComparable.length} not comparable</summary>
          <ul className={styles.hints}>
            {notComparable.map(({ test, figure, side, before, after, sentence }) => (
              <li key={`${test} ${figure} ${side} ${before?.point} ${after?.point}`}>{sentence}</li>
            ))}
          </ul>
        </details>
      )}
    </section>
  )
}
