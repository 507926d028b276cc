import type { DrawnColumn } from './drawn-columns.ts'
import { flagInWords } from './flag-words.ts'
import type { Flag } from './flags.ts'
import styles from './Traces.module.css'

const MOST_SHOWN = 6

/** The flagged stretches of the picture in words; each leads the cursor to it. */
export function TraceFlags({
  flags,
  columns,
  isPaused,
  onGo,
}: {
  readonly flags: readonly Flag[]
  readonly columns: readonly DrawnColumn[]
  /** The picture stands still: what lasts is told up to its end, not to now. */
  readonly isPaused: boolean
  readonly onGo: (flag: Flag) => void
}) {
  const newest = flags.slice(-MOST_SHOWN).reverse()
  const more = flags.length - newest.length
  return (
    <div className={styles.flags} data-testid="trace-flags">
      <h3 className={styles.minor}>Gaps and uncertain samples in the picture</h3>
      {flags.length === 0 ? (
        <p className={styles.soft}>None: every sample in the picture is good.</p>
      ) : (
        <ul>
          {newest.map((flag) => (
            <li key={`${flag.columns}:${flag.kind}:${flag.reason}:${flag.fromMs}`}>
              <button type="button" className={styles.flag} onClick={() => onGo(flag)}>
                {flagInWords(flag, columns, isPaused)}
              </button>
            </li>
          ))}
        </ul>
      )}
      {more > 0 && <p className={styles.soft}>and {more} earlier; zoom in to list them.</p>}
    </div>
  )
}
