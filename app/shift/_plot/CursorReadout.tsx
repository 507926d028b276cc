import { readingDecimals } from '../../_plots/cursors.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { formatDay, formatDuration, formatNumber, NBSP, withUnit } from '../../_ui/format.ts'
import type { AxisFlag } from '../_model/axis-flags.ts'
import styles from './Bands.module.css'
import type { CursorReading, LineReading } from './cursor-readings.ts'

interface CursorReadoutProps {
  readonly reading: CursorReading | null
  /** The same moment of the earlier shift; null when none is compared. */
  readonly earlier: CursorReading | null
  readonly flags: readonly AxisFlag[]
}

/** What every band shows under the cursor, with its time, and what happened there. */
export function CursorReadout({ reading, earlier, flags }: CursorReadoutProps) {
  return (
    <section aria-label="Values at the cursor" data-testid="shift-readout">
      <p className={styles.status}>
        {reading === null
          ? 'Point at the bands, or move the cursor with the arrow keys, to read values.'
          : whenInWords(reading)}
      </p>
      {reading !== null && (
        <dl className={styles.readout}>
          {reading.lines.map((line, i) => (
            <div key={line.label}>
              <dt>{line.label}</dt>
              <dd>
                {valueInWords(line)}
                <span className={styles.range}>{rangeInWords(line)}</span>
                {earlier !== null && <span className={styles.range}>earlier: {earlierInWords(earlier.lines[i])}</span>}
              </dd>
            </div>
          ))}
        </dl>
      )}
      {flags.map((flag) => (
        <p key={flag.key} className={styles.soft}>
          {clockText(flag.timeMs, 1000)} {flag.text}
        </p>
      ))}
    </section>
  )
}

function whenInWords({ tMs, row }: CursorReading): string {
  const day = formatDay(tMs)
  if (row === null) return `${day} ${clockText(tMs, 1000)}: no sample`
  if (row.fromMs === row.toMs) return `${day} ${clockText(row.fromMs, 1)}: one sample`
  const seconds = (row.toMs - row.fromMs) / 1000
  return `${day} ${clockText(row.fromMs, Math.min(1000, row.toMs - row.fromMs))}: mean over ${seconds < 1 ? `${seconds * 1000}${NBSP}ms` : formatDuration(seconds)}`
}

const decimalsOf = (line: LineReading): number =>
  line.value === null ? 1 : readingDecimals(Math.max(Math.abs(line.value.lo), Math.abs(line.value.hi)))

function valueInWords(line: LineReading | undefined): string {
  if (line === undefined || line.value === null) return 'no value'
  return withUnit(formatNumber(line.value.mean, decimalsOf(line)), line.unit)
}

function rangeInWords(line: LineReading): string {
  if (line.value === null) return line.isBlank ? 'web slack: a share says nothing' : 'no good sample here'
  const { lo, hi, n } = line.value
  if (n <= 1) return 'one sample, with all its noise'
  const decimals = decimalsOf(line)
  return `${formatNumber(lo, decimals)} to ${formatNumber(hi, decimals)} in ${formatNumber(n, 0)} samples`
}

const earlierInWords = (line: LineReading | undefined): string => valueInWords(line)

/** The cursor as a sentence, for those who hear it. */
export function cursorInWords(reading: CursorReading | null): string {
  if (reading === null) return 'not set'
  return [whenInWords(reading), ...reading.lines.map((line) => `${line.label} ${valueInWords(line)}`)].join(', ')
}
