import { changeDraft, dropDraft, useDraft } from '../_model/draft-store.ts'
import styles from '../Verification.module.css'

interface TextFormProps {
  readonly label: string
  readonly button: string
  readonly testId: string
  /** Where it is kept while it is being typed. */
  readonly draft: string
  readonly isNameless: boolean
  readonly least: number
  readonly onSend: (text: string) => void
}

/** A text that becomes an entry. Half of it survives a reload. */
export function TextForm({ label, button, testId, draft, isNameless, least, onSend }: TextFormProps) {
  const text = useDraft(draft).typed.text ?? ''
  const canSend = text.trim().length >= least && !isNameless
  return (
    <form
      className={styles.textForm}
      onSubmit={(event) => {
        event.preventDefault()
        if (!canSend) return
        onSend(text.trim())
        dropDraft(draft)
      }}
    >
      <label>
        {label}
        <textarea
          value={text}
          maxLength={500}
          rows={2}
          onChange={(event) => changeDraft(draft, (before) => ({ ...before, typed: { text: event.target.value } }))}
          data-testid={`${testId}-text`}
        />
      </label>
      <button type="submit" className="control" disabled={!canSend} data-testid={`${testId}-keep`}>
        {button}
      </button>
    </form>
  )
}
