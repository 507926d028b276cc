import { useState } from 'react'
import type { NewEntry, VerificationRecord } from '../../../shared/schemas/verification.ts'
import { NameField } from '../../_ui/access/NameField.tsx'
import type { Signature } from '../../_ui/access/signature.ts'
import { newKey } from '../../_ui/new-key.ts'
import { isTouched } from '../_model/test-state.ts'
import styles from '../Verification.module.css'

interface SignFormProps {
  readonly record: VerificationRecord
  readonly add: (entry: NewEntry) => void
  readonly signature: Signature
}

/** The signature that closes a record, and what would be left out by it. */
export function SignForm({ record, add, signature }: SignFormProps) {
  const [isAsked, setAsked] = useState(false)
  const { who } = signature
  if (record.signed) return <p className={styles.soft}>Signed: only notes and corrections are added now.</p>
  const left = record.head.plan.stages.flatMap(({ tests }) => tests).filter((test) => !isTouched(test, record.entries))
  const sign = () => {
    if (who.trim() === '') return setAsked(true)
    add({ kind: 'signature', key: newKey(), who, name: who })
  }
  return (
    <section className={styles.sign} aria-labelledby="sign">
      <h2 id="sign">Sign</h2>
      <p className={styles.soft}>
        {left.length === 0
          ? 'Every test has a result or a reason.'
          : left.length === 1
            ? '1 test has neither result nor reason: it will stand as not done.'
            : `${left.length} tests have neither result nor reason: they will stand as not done.`}{' '}
        A signature closes the record; it is advice for a competent person, not a certificate.
      </p>
      <NameField signature={signature} isMissing={isAsked && who.trim() === ''} testId="sign-who" />
      <button type="button" className="control" onClick={sign} data-testid="sign-record">
        Sign and close
      </button>
    </section>
  )
}
