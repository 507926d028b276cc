import { VerdictMark } from '../../_ui/VerdictMark.tsx'
import type { TestState } from '../_model/test-state.ts'
import styles from '../Verification.module.css'

/** How a test stands, in the marks of every verdict. */
export function StateMark({ state }: { readonly state: TestState }) {
  if (state === 'not-for-this-zone') return <span className={styles.notHere}>does not apply</span>
  return <VerdictMark state={state} />
}
