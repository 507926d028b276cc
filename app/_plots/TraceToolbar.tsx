import type { AuxRole } from '../../shared/sample.ts'
import { NBSP } from '../_ui/format.ts'
import { auxLabel } from './drawn-columns.ts'
import styles from './Traces.module.css'
import type { TraceActions } from './use-traces.ts'
import { isZoomed, type View, WINDOWS_MS } from './view.ts'

function windowInWords(ms: number): string {
  return ms < 60_000 ? `${ms / 1000}${NBSP}s` : `${ms / 60_000}${NBSP}min`
}

export interface ToolbarProps {
  readonly view: View
  readonly actions: TraceActions
  readonly fromZero: boolean
  readonly onFromZero: (value: boolean) => void
  readonly auxRoles: readonly AuxRole[]
  readonly aux: AuxRole | null
  readonly onAux: (role: AuxRole | null) => void
}

export function TraceToolbar({ view, actions, fromZero, onFromZero, auxRoles, aux, onAux }: ToolbarProps) {
  const isPaused = view.mode === 'paused'
  return (
    <div className={`${styles.toolbar} not-printed`}>
      <fieldset className={styles.windows}>
        <legend className="heard-only">Window of time</legend>
        {WINDOWS_MS.map((ms) => (
          <button
            key={ms}
            type="button"
            className="control"
            aria-pressed={view.windowMs === ms}
            onClick={() => actions.chooseWindow(ms)}
          >
            {windowInWords(ms)}
          </button>
        ))}
      </fieldset>
      <div className={styles.buttons}>
        <button
          type="button"
          className={`control ${styles.pause}`}
          data-testid="trace-pause"
          onClick={isPaused ? actions.resume : actions.pause}
        >
          {isPaused ? 'Back to live' : 'Pause'}
        </button>
        <button type="button" className="control" onClick={() => actions.zoom(0.5, null)}>
          Closer
        </button>
        <button type="button" className="control" onClick={() => actions.zoom(2, null)}>
          Wider
        </button>
        <button type="button" className="control" disabled={!isZoomed(view)} onClick={actions.resetZoom}>
          Whole window
        </button>
        <button type="button" className="control" aria-pressed={fromZero} onClick={() => onFromZero(!fromZero)}>
          Scale from zero
        </button>
        {auxRoles.length > 0 && (
          <label className={styles.auxChoice}>
            <span>Below</span>
            <select value={aux ?? ''} onChange={(event) => onAux((event.target.value || null) as AuxRole | null)}>
              {auxRoles.map((role) => (
                <option key={role} value={role}>
                  {auxLabel(role)}
                </option>
              ))}
              <option value="">nothing</option>
            </select>
          </label>
        )}
      </div>
    </div>
  )
}
