import { formatNumber, NBSP } from '../_ui/format.ts'
import type { DrawnColumn } from './drawn-columns.ts'
import type { Flag } from './flags.ts'
import { reasonInWords } from './reason.ts'
import styles from './Traces.module.css'
import { clockText } from './time-ticks.ts'

const MOST_SHOWN = 6

/** The flagged stretches of the picture in words; each leads the cursor to it. */
export function TraceFlags({
  flags,
  columns,
  onGo,
}: {
  readonly flags: readonly Flag[]
  readonly columns: readonly DrawnColumn[]
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
            <li key={`${flag.column}:${flag.kind}:${flag.fromMs}`}>
              <button type="button" className={styles.flag} onClick={() => onGo(flag)}>
                {flagInWords(flag, columns)}
              </button>
            </li>
          ))}
        </ul>
      )}
      {more > 0 && <p className={styles.soft}>and {more} earlier; zoom in to list them.</p>}
    </div>
  )
}

export function flagInWords(flag: Flag, columns: readonly DrawnColumn[]): string {
  const who = flag.column === null ? 'all signals' : (columns[flag.column]?.label ?? 'a signal')
  const what = flag.kind === 'gap' ? 'no value' : 'uncertain'
  const seconds = (flag.toMs - flag.fromMs) / 1000
  const length = `${formatNumber(seconds, seconds < 10 ? 2 : 0)}${NBSP}s`
  return `${clockText(flag.fromMs, 100)}, ${length}: ${who}, ${what}, ${reasonInWords(flag.reason)}`
}
