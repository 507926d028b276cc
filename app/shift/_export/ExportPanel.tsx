import { useMemo, useState } from 'react'
import { EXPORT_FORMATS, type ExportFormat, type ExportProgress } from '../../../shared/schemas/export.ts'
import { formatNumber } from '../../_ui/format.ts'
import styles from './Export.module.css'
import { type ExportState, useExport } from './use-export.ts'

const FORMAT_WORDS: Record<ExportFormat, string> = {
  csv: 'CSV, opens in any spreadsheet',
  parquet: 'Parquet, for data tools',
}

interface ExportPanelProps {
  readonly zoneId: string
  readonly fromMs: number
  readonly toMs: number
  /** What the range is, in words: `the whole shift`. */
  readonly what: string
}

/** Takes the samples of the shown range away as a file. */
export function ExportPanel({ zoneId, fromMs, toMs, what }: ExportPanelProps) {
  const [format, setFormat] = useState<ExportFormat>('csv')
  const range = useMemo(() => ({ zoneId, fromMs, toMs }), [zoneId, fromMs, toMs])
  const { state, begin, cancel } = useExport(range)
  const isRunning = state.kind === 'asked' || (state.kind === 'known' && state.progress.state === 'running')
  return (
    <div className={styles.panel} data-testid="export">
      <p className={styles.soft}>
        Every sample at full rate, in SI units, each with its quality; units and config revisions stand in the file. The
        range is {what}.
      </p>
      <div className={styles.row}>
        <label className={styles.choice}>
          <span>Format</span>
          <select
            className="control"
            value={format}
            onChange={(event) => setFormat(event.target.value as ExportFormat)}
            data-testid="export-format"
          >
            {EXPORT_FORMATS.map((one) => (
              <option key={one} value={one}>
                {FORMAT_WORDS[one]}
              </option>
            ))}
          </select>
        </label>
        <button
          type="button"
          className="control"
          onClick={() => begin(format)}
          disabled={isRunning}
          data-testid="export-begin"
        >
          Save the samples
        </button>
        {isRunning && (
          <button type="button" className="control" onClick={() => void cancel()} data-testid="export-cancel">
            Cancel
          </button>
        )}
      </div>
      <div className={styles.state} aria-live="polite" data-testid="export-state">
        <StateLine state={state} />
      </div>
    </div>
  )
}

function StateLine({ state }: { readonly state: ExportState }) {
  if (state.kind === 'none') return null
  if (state.kind === 'asked') return <p>Asking the gateway for the file.</p>
  if (state.kind === 'refused')
    return (
      <p>
        <strong>{state.failure.message}</strong> {state.failure.remedy}
      </p>
    )
  const { progress } = state
  return (
    <>
      {progress.state === 'running' && (
        <progress className={styles.bar} value={progress.share} max={1} aria-label="Export" />
      )}
      <p>{inWords(progress)}</p>
    </>
  )
}

function inWords({ state, rows, share, why }: ExportProgress): string {
  const count = formatNumber(rows, 0)
  if (state === 'running') return `${count} rows so far, ${Math.floor(share * 100)} % of the range.`
  if (state === 'whole') return `Done: ${count} rows. The file is whole.`
  if (state === 'cancelled') return 'Cancelled: what the browser has saved is not whole.'
  if (rows === 0) return `No file was made: ${why ?? 'for a reason unknown'}.`
  return `Failed after ${count} rows: ${why ?? 'for a reason unknown'}. What the browser has saved is not whole.`
}
