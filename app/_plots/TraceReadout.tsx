import { formatNumber, NBSP } from '../_ui/format.ts'
import { type CursorReadings, differences, readingDecimals } from './cursors.ts'
import type { DrawnColumn } from './drawn-columns.ts'
import type { Reading } from './reading.ts'
import { reasonInWords } from './reason.ts'
import styles from './Traces.module.css'
import { clockText } from './time-ticks.ts'

export interface ReadoutState {
  readonly columns: readonly DrawnColumn[]
  readonly pointed: CursorReadings | null
  readonly a: CursorReadings | null
  readonly b: CursorReadings | null
  readonly bucketMs: number
}

/** Values under the moving cursor and at A and B, with their difference and quality. */
export function TraceReadout({ state }: { readonly state: ReadoutState }) {
  const { columns, pointed, a, b, bucketMs } = state
  const delta = differences(a, b)
  const duration = a === null || b === null ? null : b.tMs - a.tMs
  return (
    <div>
      <p className={styles.note}>
        Samples as they came, not averaged as the figures above are: each carries the full noise.
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className={styles.readoutScroll} aria-label="Values at the cursors" tabIndex={0}>
        <table className={styles.readout} data-testid="trace-readout">
          <caption className="heard-only">Values at the cursors</caption>
          <thead>
            <tr>
              <th scope="col">At the cursors</th>
              <TimeHead title="Cursor" at={pointed} bucketMs={bucketMs} />
              <TimeHead title="A" at={a} bucketMs={bucketMs} />
              <TimeHead title="B" at={b} bucketMs={bucketMs} />
              <th scope="col">
                B − A
                <span className={styles.readoutTime}>
                  {duration === null ? 'set both' : `${formatNumber(duration / 1000, 3)}${NBSP}s`}
                </span>
              </th>
            </tr>
          </thead>
          <tbody>
            {columns.map((column, i) => (
              <tr key={column.name}>
                <th scope="row">{column.label}</th>
                <ReadingCell of="Cursor" reading={pointed?.readings[i]} unit={column.unit} />
                <ReadingCell of="A" reading={a?.readings[i]} unit={column.unit} />
                <ReadingCell of="B" reading={b?.readings[i]} unit={column.unit} />
                <td data-of="B − A">{deltaInWords(delta[i], b?.readings[i], column.unit)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </div>
  )
}

function TimeHead({ title, at, bucketMs }: { title: string; at: CursorReadings | null; bucketMs: number }) {
  return (
    <th scope="col">
      {title}
      <span className={styles.readoutTime}>{at === null ? 'not set' : clockText(at.tMs, Math.min(bucketMs, 500))}</span>
    </th>
  )
}

interface ReadingCellProps {
  /** Title of its column: stands before the value where the table is stacked. */
  readonly of: string
  readonly reading: Reading | undefined
  readonly unit: string
}

function ReadingCell({ of, reading, unit }: ReadingCellProps) {
  if (reading === undefined)
    return (
      <td data-of={of} className={styles.note}>
        –
      </td>
    )
  if (reading.kind === 'value')
    return (
      <td data-of={of}>
        {valueInWords(reading, unit)}
        <span className={styles.readoutRange}>{rangeInWords(reading)}</span>
      </td>
    )
  return (
    <td data-of={of} className={styles.note}>
      {reading.kind === 'outside' ? 'not recorded' : `no value: ${reasonInWords(reading.reason)}`}
    </td>
  )
}

type ValueReading = Extract<Reading, { kind: 'value' }>

function valueInWords({ mean, hi, lo }: ValueReading, unit: string): string {
  if (mean === null) return 'range only'
  return `${formatNumber(mean, decimalsOf({ lo, hi }))}${NBSP}${unit}`
}

function decimalsOf({ lo, hi }: { readonly lo: number; readonly hi: number }): number {
  return readingDecimals(Math.max(Math.abs(lo), Math.abs(hi)))
}

function rangeInWords({ samples, lo, hi, bad, uncertain, mean }: ValueReading): string {
  const decimals = decimalsOf({ lo, hi })
  const parts: string[] = []
  if (samples > 1 || mean === null) {
    const range = `${formatNumber(lo, decimals)} to ${formatNumber(hi, decimals)}`
    parts.push(mean === null ? range : `mean of ${samples}, ${range}`)
  }
  if (uncertain !== null) parts.push(`uncertain: ${reasonInWords(uncertain)}`)
  if (bad > 0) parts.push(`${bad} without a value`)
  return parts.length === 0 ? 'good' : parts.join('; ')
}

/** B − A; a dash until both are set, and in words where one of them has no value. */
function deltaInWords(value: number | null | undefined, at: Reading | undefined, unit: string): string {
  if (value === undefined) return '–'
  if (value === null) return 'not known'
  return `${value > 0 ? '+' : ''}${formatNumber(value, at?.kind === 'value' ? decimalsOf(at) : 1)}${NBSP}${unit}`
}

/** One reading as a sentence, for the slider's text. */
export function readingSentence(label: string, reading: Reading | undefined, unit: string): string {
  if (reading === undefined || reading.kind === 'outside') return `${label} not recorded`
  if (reading.kind === 'gap') return `${label} no value, ${reasonInWords(reading.reason)}`
  const quality = reading.uncertain === null ? '' : `, uncertain, ${reasonInWords(reading.uncertain)}`
  return `${label} ${valueInWords(reading, unit)}${quality}`
}
