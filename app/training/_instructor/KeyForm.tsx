import { useState } from 'react'
import type { Failure } from '../../_ui/ask.ts'
import { useSessionText } from '../_model/session-kept.ts'
import { FailureNote } from '../FailureNote.tsx'
import pageStyles from '../Training.module.css'

/** The key that the command printed. It stays in this tab alone, and only until that is closed. */
export function KeyForm({ failure = null }: { readonly failure?: Failure | null }) {
  const [kept, setKept] = useSessionText('evenpull.training.key')
  const [typed, setTyped] = useState(kept)
  return (
    <form
      className={pageStyles.block}
      onSubmit={(event) => {
        event.preventDefault()
        setKept(typed.trim())
      }}
    >
      <p className={pageStyles.lead}>
        This view shows what is hidden from the trainee. The key was printed where the training machine was started; it
        is kept in this tab until you close it.
      </p>
      <label className={pageStyles.field}>
        Key of the instructor
        <input
          type="password"
          autoComplete="off"
          value={typed}
          onChange={(event) => setTyped(event.target.value)}
          data-testid="instructor-key"
        />
      </label>
      <FailureNote failure={failure} />
      <p>
        <button type="submit" className="control" data-testid="open-instructor">
          Open
        </button>
      </p>
    </form>
  )
}
