import { useState } from 'react'
import type { PlanTest } from '../../../shared/schemas/verification/plan.ts'
import type { NewEntry, VerificationRecord } from '../../../shared/schemas/verification.ts'
import { NameField } from '../../_ui/access/NameField.tsx'
import type { Signature } from '../../_ui/access/signature.ts'
import { newKey } from '../../_ui/new-key.ts'
import { changeDraft, draftId, dropDraft, useDraft } from '../_model/draft-store.ts'
import { shrinkPhoto } from '../_model/shrink-photo.ts'
import { entriesOf } from '../_model/test-state.ts'
import styles from '../Verification.module.css'

interface MoreToAddProps {
  readonly test: PlanTest
  readonly record: VerificationRecord
  readonly add: (entry: NewEntry) => void
  readonly signature: Signature
}

/** Beside a result: why it was not done, a note, a photo, a correction. */
export function MoreToAdd({ test, record, add, signature }: MoreToAddProps) {
  const { who } = signature
  const base = () => ({ key: newKey(), who })
  const newest = entriesOf(record.entries, test.id).at(-1)
  const isNameless = who.trim() === ''
  const textProps = (testId: string) => ({ testId, isNameless, draft: draftId(record.head.id, `${test.id} ${testId}`) })
  return (
    <div className={styles.more}>
      {(record.signed || !test.applies) && <NameField signature={signature} isMissing={isNameless} testId="more-who" />}
      {isNameless && <p className={styles.soft}>First your name: whatever is added bears it.</p>}
      {!record.signed && (
        <TextForm
          label="Not done, because"
          button="Keep as not done"
          {...textProps('not-done')}
          least={3}
          onSend={(reason) => add({ ...base(), kind: 'not-done', test: test.id, reason })}
        />
      )}
      <TextForm
        label="Note"
        button="Keep the note"
        {...textProps('note')}
        least={1}
        onSend={(text) => add({ ...base(), kind: 'note', test: test.id, text })}
      />
      {newest !== undefined && (
        <TextForm
          label={`Correction of entry ${newest.seq}`}
          button="Keep the correction"
          {...textProps('correction')}
          least={3}
          onSend={(text) => add({ ...base(), kind: 'correction', of: newest.seq, text })}
        />
      )}
      {!record.signed && (
        <PhotoForm
          isNameless={isNameless}
          onPhoto={(photo) => add({ ...base(), kind: 'photo', test: test.id, caption: '', ...photo })}
        />
      )}
    </div>
  )
}

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

function TextForm({ label, button, testId, draft, isNameless, least, onSend }: TextFormProps) {
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

interface PhotoFormProps {
  readonly isNameless: boolean
  readonly onPhoto: (photo: { mediaType: 'image/jpeg'; data: string }) => void
}

function PhotoForm({ isNameless, onPhoto }: PhotoFormProps) {
  const [failure, setFailure] = useState<string | null>(null)
  const take = async (file: File | undefined) => {
    if (file === undefined) return
    try {
      onPhoto(await shrinkPhoto(file))
      setFailure(null)
    } catch {
      setFailure('This file cannot be shown as a picture: take a JPEG, PNG or WebP.')
    }
  }
  return (
    <label className={styles.photoForm}>
      Photo
      <input
        type="file"
        accept="image/*"
        capture="environment"
        disabled={isNameless}
        onChange={(event) => void take(event.target.files?.[0])}
        data-testid="photo-file"
      />
      {failure !== null && <span className={styles.fault}>{failure}</span>}
    </label>
  )
}
