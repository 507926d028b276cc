import { useState } from 'react'
import type { NewEntry } from '../../../shared/schemas/verification.ts'
import type { Signature } from '../../_ui/access/signature.ts'
import { newKey } from '../../_ui/new-key.ts'
import { draftId, useDraft } from '../_model/draft-store.ts'
import styles from '../Verification.module.css'
import { TextForm } from './TextForm.tsx'

interface CorrectEntryProps {
  readonly record: string
  readonly seq: number
  readonly add: (entry: NewEntry) => void
  readonly signature: Signature
}

/** Says what is wrong with one entry, be it an old one: the entry stays, the correction is a new one beside it. */
export function CorrectEntry({ record, seq, add, signature }: CorrectEntryProps) {
  const draft = draftId(record, `correction ${seq}`)
  const hasText = useDraft(draft).typed.text !== undefined
  const [isAsked, setAsked] = useState(false)
  const { who } = signature
  if (!isAsked && !hasText)
    return (
      <button type="button" className={styles.textButton} onClick={() => setAsked(true)} data-testid={`correct-${seq}`}>
        Correct entry {seq}
      </button>
    )
  return (
    <TextForm
      label={`What is wrong with entry ${seq}, and what is right`}
      button="Keep the correction"
      testId={`correction-${seq}`}
      draft={draft}
      isNameless={who.trim() === ''}
      least={3}
      onSend={(text) => {
        add({ kind: 'correction', key: newKey(), who, of: seq, text })
        setAsked(false)
      }}
    />
  )
}
