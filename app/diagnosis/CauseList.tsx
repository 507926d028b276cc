import type { Diagnosis, RankedCause } from '../../shared/schemas/diagnosis.ts'
import { formatNumber, formatTrimmed, NBSP } from '../_ui/format.ts'
import { ofSide } from '../_ui/sides.ts'
import styles from './Diagnosis.module.css'

/** Causes less likely than this stand in the list of the rest. */
const WORTH_SHOWING = 0.02
const MOST = 8

/** Ranked causes with what speaks for and against each, and what is missing. */
export function CauseList({ diagnosis }: { readonly diagnosis: Diagnosis }) {
  const shown = diagnosis.causes.filter((cause, i) => i < MOST && (i === 0 || likelihoodOf(cause) >= WORTH_SHOWING))
  const rest = diagnosis.causes.filter((cause) => !shown.includes(cause))
  return (
    <section className={styles.block} aria-labelledby="causes">
      <h2 id="causes">What it could be</h2>
      {diagnosis.combination !== null && <p className={styles.note}>{diagnosis.combination.sentence}</p>}
      {diagnosis.groups.map(({ sentence }) => (
        <p key={sentence} className={styles.note}>
          {sentence}
        </p>
      ))}
      <ol className={styles.causes}>
        {shown.map((cause, i) => (
          <CauseItem key={keyOf(cause)} cause={cause} rank={i + 1} />
        ))}
      </ol>
      <details className={styles.rest}>
        <summary>All other causes, each under {formatTrimmed(100 * WORTH_SHOWING)} %</summary>
        <ul>
          {rest.map((cause) => (
            <li key={keyOf(cause)}>
              {nameOf(cause)}: {percent(cause.probability)}
            </li>
          ))}
        </ul>
      </details>
    </section>
  )
}

const keyOf = ({ cause, side }: RankedCause): string => `${cause} ${side}`
const percent = (share: number): string =>
  share > 0 && share < 0.001 ? `under 0.1${NBSP}%` : `${formatNumber(100 * share, share < 0.095 ? 1 : 0)}${NBSP}%`
/** A size that is known to a few tenths of itself needs no third digit. */
const rough = (value: number): string => formatTrimmed(Number(value.toPrecision(2)))
const nameOf = ({ title, side }: RankedCause): string => title + ofSide(side)

/** As the one cause, or besides the one that is found. */
const likelihoodOf = ({ probability, beside }: RankedCause): number => Math.max(probability, beside ?? 0)

function CauseItem({ cause, rank }: { readonly cause: RankedCause; readonly rank: number }) {
  const { probability, beside, words, severity, remedy, source } = cause
  const likely = likelihoodOf(cause)
  return (
    <li
      className={styles.cause}
      data-testid={`cause-${rank}`}
      data-cause={cause.cause}
      data-side={cause.side ?? undefined}
    >
      <h3>
        <span>{nameOf(cause)}</span>
        <span className={styles.percent}>{percent(likely)}</span>
      </h3>
      <span className={styles.bar} aria-hidden="true">
        <span style={{ inlineSize: `${Math.max(0.5, 100 * likely).toFixed(1)}%` }} />
      </span>
      {beside !== null && beside > probability && (
        <p className={styles.soft}>
          Besides the first cause: {percent(beside)}; as the only one: {percent(probability)}.
        </p>
      )}
      <p>{words}</p>
      {severity !== null && (
        <p className={styles.soft}>
          If so, {severity.name}: about {rough(severity.value)}
          {NBSP}
          {severity.unit}, between {rough(severity.low)} and {rough(severity.high)}
          {NBSP}
          {severity.unit} (95{NBSP}%).
        </p>
      )}
      <Lines title="For it" lines={cause.for.map(({ sentence }) => sentence)} />
      <Lines title="Against it" lines={cause.against.map(({ sentence }) => sentence)} />
      <Lines title="Missing" lines={cause.missing.map(({ sentence }) => sentence)} />
      {remedy !== null && <p className={styles.remedy}>{remedy}</p>}
      <p className={styles.soft}>{source}</p>
    </li>
  )
}

function Lines({ title, lines }: { readonly title: string; readonly lines: readonly string[] }) {
  if (lines.length === 0) return null
  return (
    <div className={styles.lines}>
      <h4>{title}</h4>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </div>
  )
}
