import type { Failure } from '../_ui/ask.ts'
import styles from './Training.module.css'

/** What went wrong and what to do; nothing without a failure. */
export function FailureNote({ failure }: { readonly failure: Failure | null }) {
  if (failure === null) return null
  return (
    <p className={styles.failure} role="alert" data-testid="training-failure">
      {failure.message} {failure.remedy}
    </p>
  )
}
