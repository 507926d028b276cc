import { useState } from 'react'
import { formatNumber } from '../_ui/format.ts'
import { readingDecimals } from './cursors.ts'
import type { DrawnColumn } from './drawn-columns.ts'
import { perSecond, type SecondRow, type Summary } from './per-second.ts'
import styles from './Traces.module.css'
import { clockText } from './time-ticks.ts'
import type { Frame } from './use-trace-frames.ts'

/** The picture as a table: mean, lowest and highest of every second. Filled when it is opened. */
export function TraceTable({
  columns,
  frame,
}: {
  readonly columns: readonly DrawnColumn[]
  readonly frame: () => Frame | null
}) {
  const [rows, setRows] = useState<readonly SecondRow[]>([])
  const fill = () => {
    const latest = frame()
    if (latest?.source == null) return
    const indexes = columns.map((c) => c.index)
    setRows(perSecond(latest.source, indexes, latest.span.fromMs, latest.span.toMs))
  }
  return (
    <details
      className={styles.tableBox}
      data-testid="trace-table"
      onToggle={(event) => {
        if (event.currentTarget.open) fill()
        else setRows([])
      }}
    >
      <summary>The picture as a table, second by second</summary>
      <button type="button" className="control" onClick={fill}>
        Take the present picture
      </button>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className={styles.tableScroll} aria-label="Values second by second" tabIndex={0}>
        <table className={styles.seconds}>
          <thead>
            <tr>
              <th scope="col" rowSpan={2}>
                Second
              </th>
              {columns.map((c) => (
                <th key={c.name} scope="colgroup" colSpan={3}>
                  {c.label}, {c.unit}
                </th>
              ))}
            </tr>
            <tr>
              {columns.flatMap((c) =>
                ['mean', 'lowest', 'highest'].map((what) => (
                  <th key={`${c.name}:${what}`} scope="col">
                    {what}
                  </th>
                )),
              )}
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.startMs}>
                <th scope="row">{clockText(row.startMs, 1000)}</th>
                {columns.map((column, i) => (
                  <SummaryCells key={column.name} summary={row.columns[i]} column={column} />
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  )
}

function SummaryCells({ summary, column }: { readonly summary: Summary | undefined; readonly column: DrawnColumn }) {
  if (summary === undefined || summary.lo === null || summary.hi === null) return <td colSpan={3}>no data</td>
  const shown = (si: number) => {
    const value = si * column.map.factor + column.map.offset
    return formatNumber(value, readingDecimals(value))
  }
  const [low, high] = column.map.factor < 0 ? [summary.hi, summary.lo] : [summary.lo, summary.hi]
  const note = summary.bad > 0 ? `, ${summary.bad} without a value` : summary.uncertain > 0 ? ', uncertain' : ''
  return (
    <>
      <td>
        {summary.mean === null ? 'not known' : shown(summary.mean)}
        {note}
      </td>
      <td>{shown(low)}</td>
      <td>{shown(high)}</td>
    </>
  )
}
