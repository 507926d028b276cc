import { changeDraft, useDraft, useDraftsStored } from '../_model/drafts.ts'
import pageStyles from '../Training.module.css'

const MOST = 2000

/** The trainee's own notes: kept in this browser while he looks, and handed in with the answer. */
export function Notes({ exercise }: { readonly exercise: string }) {
  const { note } = useDraft(exercise)
  const isStored = useDraftsStored()
  return (
    <label className={pageStyles.field}>
      Notes
      <textarea
        rows={3}
        maxLength={MOST}
        value={note}
        onChange={(event) => changeDraft(exercise, { note: event.target.value })}
        data-testid="notes"
      />
      <span className={pageStyles.soft}>
        {isStored
          ? 'Kept in this browser, and handed in with your answer.'
          : 'This browser keeps nothing: what you type is gone when the page is closed.'}
      </span>
    </label>
  )
}
