import type { Change, ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import { typed } from '../../_language/current.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { formatDay, formatDuration } from '../../_ui/format.ts'
import { useUnits } from '../../_ui/units.tsx'
import drifts from '../_drift/Drifts.module.css'
import { type Baseline, type Comparison, comparedSpan, usualComparisons } from '../_model/comparison.ts'
import type { ShiftPattern, Span } from '../_model/shift-choice.ts'
import styles from '../Shift.module.css'
import { COMPARED_WORDS, STATE_WORDS } from './compared-words.ts'

interface ComparePanelProps {
  readonly shift: Span
  readonly pattern: ShiftPattern
  readonly comparison: Comparison
  readonly baseline: Baseline | null
  readonly analysis: ShiftAnalysis | null
  /** Why nothing can be compared although something was chosen; null when it can. */
  readonly failure: string | null
  readonly onCompare: (comparison: Comparison) => void
}

/** Compared with what it was when it was right, or with an earlier shift. */
export function ComparePanel(props: ComparePanelProps) {
  const { shift, pattern, comparison, baseline, analysis, onCompare } = props
  const span = comparedSpan(comparison, baseline)
  const usual = usualComparisons(shift, pattern)
  const isChosen = (one: Span) =>
    comparison?.kind === 'stretch' && comparison.span.fromMs === one.fromMs && comparison.span.toMs === one.toMs
  return (
    <section className={styles.section} aria-labelledby="compared" data-testid="compare">
      <header className={styles.heading}>
        <h2 id="compared">Compared with</h2>
        <p className={styles.soft}>
          {span === null
            ? 'Nothing is laid under this shift.'
            : `${stretchInWords(span)}, laid under this shift with both beginnings together.`}
        </p>
      </header>
      <div className={`${styles.choices} not-printed`}>
        <button
          type="button"
          className="control"
          aria-pressed={comparison?.kind === 'baseline'}
          disabled={baseline === null}
          onClick={() => onCompare({ kind: 'baseline' })}
        >
          Hand-over baseline
        </button>
        {usual.map(({ name, span: one }) => (
          <button
            key={name}
            type="button"
            className="control"
            aria-pressed={isChosen(one)}
            onClick={() => onCompare({ kind: 'stretch', span: one })}
          >
            {name.charAt(0).toUpperCase() + name.slice(1)}
          </button>
        ))}
        <button type="button" className="control" disabled={comparison === null} onClick={() => onCompare(null)}>
          Nothing
        </button>
      </div>
      {baseline === null ? (
        <p className={styles.soft}>
          No hand-over baseline is named yet: look closer at a stretch in which the zone was right, and name it below.
        </p>
      ) : (
        <p className={styles.soft}>
          Baseline: “{typed(baseline.text)}”, {stretchInWords(baseline)}, named by{' '}
          {baseline.who === null ? 'nobody' : typed(baseline.who)} on {formatDay(baseline.namedMs)}.
        </p>
      )}
      {props.failure !== null && <p className={styles.failure}>{props.failure}</p>}
      {span !== null && analysis?.baseline != null && <Changes changes={analysis.baseline.changes} />}
    </section>
  )
}

function stretchInWords({ fromMs, toMs }: Span): string {
  const isOneDay = formatDay(fromMs) === formatDay(toMs)
  return `${formatDay(fromMs)} ${clockText(fromMs, 60_000)} to ${isOneDay ? '' : `${formatDay(toMs)} `}${clockText(toMs, 60_000)} (${formatDuration((toMs - fromMs) / 1000)})`
}

const ORDER: readonly Change['state'][] = ['changed', 'not-told-apart', 'unknown']

/** What changed beyond its uncertainty first, then what did not, then what cannot be told. */
function Changes({ changes }: { readonly changes: readonly Change[] }) {
  const units = useUnits()
  const sorted = ORDER.flatMap((state) => changes.filter((change) => change.state === state))
  return (
    <ul className={drifts.changes} data-testid="changes">
      {sorted.map((change) => (
        <li key={change.what} className={drifts.change} data-state={change.state}>
          <span>{STATE_WORDS[change.state]}</span>
          <span>
            <strong>{COMPARED_WORDS[change.what]}</strong>
            {change.difference !== null &&
              `: ${change.difference.value > 0 ? '+' : ''}${units.difference(change.difference.value, change.difference.U, change.unit).text}`}
            . <span className={styles.soft}>{change.sentence}</span>
          </span>
        </li>
      ))}
    </ul>
  )
}
