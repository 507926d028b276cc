import type { EditorState } from './_model/editor-state.ts'
import type { Editor } from './_model/use-editor.ts'
import styles from './Geometry.module.css'

interface ViewToolbarProps {
  readonly editor: Editor
  readonly state: EditorState
  readonly end: 'drive_side' | 'operator_side'
  readonly onFlip: () => void
}

/** Names the end the view is from, and flips it; undo and redo. */
export function ViewToolbar({ editor, state, end, onFlip }: ViewToolbarProps) {
  const { past, future, present } = state.history
  const isAssumed = present.runs_seen_from_operator_side === undefined
  return (
    <div className={styles.toolbar}>
      <p className={styles.viewName} data-testid="view-name">
        <strong>Seen from the {end === 'drive_side' ? 'drive' : 'operator'} side</strong>
        {isAssumed && (
          <span className={styles.soft}> if the web runs left to right from the operator side: not told yet</span>
        )}
      </p>
      <div className={styles.tools}>
        <button type="button" className="control" onClick={onFlip} data-testid="flip">
          See from the {end === 'drive_side' ? 'operator' : 'drive'} side
        </button>
        <button type="button" className="control" disabled={past.length === 0} onClick={editor.undo} data-testid="undo">
          Undo
        </button>
        <button
          type="button"
          className="control"
          disabled={future.length === 0}
          onClick={editor.redo}
          data-testid="redo"
        >
          Redo
        </button>
      </div>
    </div>
  )
}
