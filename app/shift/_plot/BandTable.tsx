import { useState } from 'react'
import { readingDecimals } from '../../_plots/cursors.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { formatDay, formatNumber } from '../../_ui/format.ts'
import type { Band } from '../_model/bands.ts'
import { type CoarseRow, coarseRows } from '../_model/coarse-rows.ts'
import type { HistoryRows } from '../_model/history-rows.ts'
import type { Span } from '../_model/shift-choice.ts'
import styles from './Bands.module.css'

/** Rows that can be listened to. */
const MOST_ROWS = 60

interface BandTableProps {
  readonly bands: readonly Band[]
  readonly rows: HistoryRows | null
  readonly shown: Span
}

/** What is drawn as a table: mean, lowest and highest of each stretch. Filled when it is opened. */
export function BandTable({ bands, rows, shown }: BandTableProps) {
  const [isOpen, setOpen] = useState(false)
  const lines = bands.flatMap(({ unit, lines }) => lines.map((line) => ({ ...line, unit })))
  const table = isOpen && rows !== null ? coarseRows(rows, lines, shown, MOST_ROWS) : []
  return (
    <details className={styles.tableBox} data-testid="shift-table" onToggle={(e) => setOpen(e.currentTarget.open)}>
      <summary>The picture as a table</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className={styles.tableScroll} aria-label="Values of the bands" tabIndex={0}>
        <table className={styles.table}>
          <thead>
            <tr>
              <th scope="col">From</th>
              {lines.map(({ series, label, unit }) => (
                <th key={series} scope="col">
                  {label}, {unit}: mean (lowest to highest)
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {table.map((row) => (
              <tr key={row.fromMs}>
                <th scope="row">
                  {formatDay(row.fromMs)} {clockText(row.fromMs, Math.min(1000, row.toMs - row.fromMs))}
                </th>
                {lines.map(({ series }, i) => (
                  <td key={series}>{cellInWords(row.cells[i])}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  )
}

function cellInWords(cell: CoarseRow['cells'][number] | undefined): string {
  if (cell == null) return 'no data'
  const decimals = readingDecimals(Math.max(Math.abs(cell.lo), Math.abs(cell.hi)))
  const shown = (value: number) => formatNumber(value, decimals)
  return cell.n > 1 ? `${shown(cell.mean)} (${shown(cell.lo)} to ${shown(cell.hi)})` : shown(cell.mean)
}
