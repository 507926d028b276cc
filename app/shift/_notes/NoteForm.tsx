import { useEffect, useRef, useState } from 'react'
import { MOST_NOTE_LENGTH } from '../../../shared/schemas/notes.ts'
import { typed } from '../../_language/current.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { NameField } from '../../_ui/access/NameField.tsx'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { useSignature } from '../../_ui/access/signature.ts'
import { formatClock, formatDay } from '../../_ui/format.ts'
import { useRememberedText } from '../../_ui/remembered.ts'
import styles from '../Shift.module.css'
import type { Notes } from './use-notes.ts'

interface NoteFormProps {
  readonly zone: string
  readonly notes: Notes
  /** The time it is about; null: now. */
  readonly atMs: number | null
  readonly onNow: () => void
  readonly nowMs: () => number
  /** Grows when the reader asked for a note at a time: the field then takes the focus. */
  readonly asked: number
}

/** What a person writes at a time. Half a sentence survives a reload, a whole one until the gateway has it. */
export function NoteForm({ zone, notes, atMs, onNow, nowMs, asked }: NoteFormProps) {
  const signature = useSignature()
  const { who } = signature
  const [text, setText] = useRememberedText(`evenpull.note.draft.${zone}`, '')
  const [isTried, setTried] = useState(false)
  const field = useRef<HTMLTextAreaElement>(null)
  useEffect(() => {
    if (asked > 0) field.current?.focus()
  }, [asked])
  const isNameMissing = who.trim() === ''
  const isTextMissing = text.trim() === ''
  const add = () => {
    setTried(isNameMissing || isTextMissing)
    if (isNameMissing || isTextMissing) return
    notes.write(atMs ?? nowMs(), who.trim(), text.trim())
    setText('')
    onNow()
  }
  return (
    <>
      <RoleGate needs="operate">
        <form
          className={styles.row}
          data-testid="note-form"
          onSubmit={(event) => {
            event.preventDefault()
            add()
          }}
        >
          <label className={styles.grow}>
            <span data-testid="note-time">
              {atMs === null ? 'Note, now' : `Note at ${formatDay(atMs)} ${clockText(atMs, 1000)}`}
            </span>
            <textarea
              ref={field}
              rows={2}
              maxLength={MOST_NOTE_LENGTH}
              value={text}
              aria-invalid={isTried && isTextMissing}
              onChange={(event) => setText(event.target.value)}
              data-testid="note-text"
            />
          </label>
          <NameField signature={signature} isMissing={isTried && isNameMissing} testId="note-who" />
          <button type="submit" className="control" data-testid="note-add">
            Add note
          </button>
          {atMs !== null && (
            <button type="button" className="control" onClick={onNow}>
              Now instead
            </button>
          )}
          {isTried && (isNameMissing || isTextMissing) && (
            <p className={styles.fault} role="alert">
              {isTextMissing ? 'Write what was seen or done.' : 'Say who writes it.'}
            </p>
          )}
        </form>
      </RoleGate>
      <Waiting notes={notes} />
    </>
  )
}

/** What the gateway does not have yet. */
function Waiting({ notes }: { readonly notes: Notes }) {
  if (notes.waiting.length === 0) return null
  return (
    <ul className={styles.waiting} data-testid="notes-waiting" aria-live="polite">
      {notes.waiting.map((note) => (
        <li key={note.key}>
          <p>
            {formatClock(note.timeMs)} {typed(note.who)}: {typed(note.text)}
          </p>
          <p className={note.refused === null ? styles.soft : styles.fault}>
            {note.refused === null
              ? `${notes.isStored ? 'Kept in this browser' : 'This browser keeps no more than this page does: leave it open'}; the gateway has not recorded it yet and is asked again.`
              : `Not recorded: ${note.refused}`}
          </p>
          {note.refused !== null && (
            <p className={styles.noteActions}>
              <button type="button" className="control" onClick={() => notes.resend(note.key)}>
                Send it again
              </button>
              <button type="button" className="control" onClick={() => notes.drop(note.key)}>
                Take it away
              </button>
            </p>
          )}
        </li>
      ))}
    </ul>
  )
}
