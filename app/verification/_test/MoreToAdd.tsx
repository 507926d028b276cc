import { useState } from 'react'
import type { PlanTest } from '../../../shared/schemas/verification/plan.ts'
import type { NewEntry, VerificationRecord } from '../../../shared/schemas/verification.ts'
import { NameField } from '../../_ui/access/NameField.tsx'
import type { Signature } from '../../_ui/access/signature.ts'
import { newKey } from '../../_ui/new-key.ts'
import { draftId } from '../_model/draft-store.ts'
import { shrinkPhoto } from '../_model/shrink-photo.ts'
import styles from '../Verification.module.css'
import { TextForm } from './TextForm.tsx'

interface MoreToAddProps {
  readonly test: PlanTest
  readonly record: VerificationRecord
  readonly add: (entry: NewEntry) => void
  readonly signature: Signature
}

/** Beside a result: why it was not done, a note, a photo. */
export function MoreToAdd({ test, record, add, signature }: MoreToAddProps) {
  const { who } = signature
  const base = () => ({ key: newKey(), who })
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
      {!record.signed && (
        <PhotoForm
          isNameless={isNameless}
          onPhoto={(photo) => add({ ...base(), kind: 'photo', test: test.id, caption: '', ...photo })}
        />
      )}
    </div>
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
