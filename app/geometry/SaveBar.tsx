import { useState } from 'react'
import { RoleGate } from '../_ui/access/RoleGate.tsx'
import { useSignature } from '../_ui/access/signature.ts'
import { WideBox } from '../_ui/WideBox.tsx'
import { differencesOf } from './_model/differences.ts'
import { type EditorState, isDirty, isInConflict, isStartingDrawing } from './_model/editor-state.ts'
import type { Editor } from './_model/use-editor.ts'
import styles from './Geometry.module.css'

interface SaveBarProps {
  readonly editor: Editor
  readonly state: EditorState
}

/** Whether what is drawn is in the file, and the way to put it there. */
export function SaveBar({ editor, state }: SaveBarProps) {
  const { who, setWho, isFixed } = useSignature()
  const [isNameMissing, setNameMissing] = useState(false)
  const isConflict = isInConflict(state)
  const canSave = isDirty(state) && !isConflict && !editor.isSaving
  const save = () => {
    setNameMissing(who.trim() === '')
    if (who.trim() !== '') editor.save(who.trim())
  }
  return (
    <section className={styles.save} aria-label="Saving">
      <p className={styles.saveState} data-testid="save-state" data-dirty={isDirty(state)} aria-live="polite">
        {stateInWords(editor, state)}
      </p>
      <RoleGate needs="engineer">
        <form
          className={styles.saveForm}
          onSubmit={(event) => {
            event.preventDefault()
            if (canSave) save()
          }}
        >
          {isFixed ? (
            <p data-testid="signed-as">Signed as {who}</p>
          ) : (
            <label>
              Your name
              <input
                type="text"
                autoComplete="name"
                maxLength={60}
                value={who}
                aria-invalid={isNameMissing && who.trim() === ''}
                aria-describedby="who-note"
                onChange={(event) => setWho(event.target.value)}
                data-testid="who"
              />
            </label>
          )}
          <button type="submit" className="control" disabled={!canSave} data-testid="save">
            {editor.isSaving ? 'Saving…' : 'Save to the config'}
          </button>
          <p id="who-note" className={isNameMissing && who.trim() === '' ? styles.fault : styles.soft}>
            {isNameMissing && who.trim() === '' ? 'Say who makes the change.' : 'kept with the revision'}
          </p>
        </form>
      </RoleGate>
      {editor.failures.map(({ code, message, remedy }) => (
        <p key={code + message} className={styles.failure} role="alert">
          <strong>Not saved.</strong> {message} {remedy} <span className={styles.soft}>{code}</span>
        </p>
      ))}
      {isConflict && <Conflict editor={editor} state={state} />}
    </section>
  )
}

function stateInWords(editor: Editor, state: EditorState): string {
  if (isStartingDrawing(state)) return 'This is a starting drawing: not saved, not measured. Enter your own.'
  if (!isDirty(state)) return `Saved: revision ${state.held.revision}.`
  const from = state.isFromDraft ? 'Unsaved changes, found in this browser' : 'Unsaved changes'
  return editor.isKept
    ? `${from}; kept in this browser until they are saved.`
    : `${from}; this browser keeps nothing: save before you leave.`
}

/** Both versions side by side: nothing is decided by itself. */
function Conflict({ editor, state }: SaveBarProps) {
  const differences = differencesOf(state.history.present, state.held.geometry)
  return (
    <div className={styles.conflict} data-testid="conflict">
      <p>
        <strong>The file was changed meanwhile</strong> (now revision {state.held.revision}). Yours is kept until you
        choose.
      </p>
      <WideBox label="Differences">
        <table className={styles.differences}>
          <thead>
            <tr>
              <th scope="col">Figure</th>
              <th scope="col">Yours</th>
              <th scope="col">In the file</th>
            </tr>
          </thead>
          <tbody>
            {differences.map(({ key, mine, theirs }) => (
              <tr key={key}>
                <th scope="row">{key}</th>
                <td>{mine}</td>
                <td>{theirs}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideBox>
      <p className={styles.tools}>
        <button type="button" className="control" onClick={editor.keepMine} data-testid="keep-mine">
          Go on with mine
        </button>
        <button type="button" className="control" onClick={editor.takeTheirs}>
          Take the file’s (undo brings mine back)
        </button>
      </p>
    </div>
  )
}
