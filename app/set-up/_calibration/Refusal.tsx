import type { Failure } from '../../_ui/ask.ts'
import styles from './Calibration.module.css'

/** What was refused, why, and what to do. */
export function Refusal({ failure, what }: { readonly failure: Failure; readonly what: string }) {
  return (
    <p className={styles.failure} role="alert">
      <strong>{what}</strong> {failure.message} {failure.remedy} <span className={styles.soft}>{failure.code}</span>
    </p>
  )
}
