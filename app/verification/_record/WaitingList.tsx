import type { VerificationPlan } from '../../../shared/schemas/verification/plan.ts'
import type { NewEntry } from '../../../shared/schemas/verification.ts'
import type { WaitingEntry } from '../_model/entry-box.ts'
import type { RecordState } from '../_model/use-record.ts'
import styles from '../Verification.module.css'

interface WaitingListProps {
  readonly state: Pick<RecordState, 'waiting' | 'isStored' | 'resend' | 'drop'>
  readonly plan: VerificationPlan
}

/** What this browser has and the record has not yet, with its words, so that none is lost by letting it go. */
export function WaitingList({ state, plan }: WaitingListProps) {
  const { waiting, isStored, resend, drop } = state
  if (waiting.length === 0) return null
  return (
    <ul className={styles.waitingList} data-testid="waiting-entries" aria-live="polite">
      {waiting.map((one) => (
        <li key={one.entry.key} className={one.refused === null ? styles.soft : styles.failure}>
          {waitingWords(one.entry, plan)} {whereItIs(one, isStored)}
          {one.refused !== null && (
            <span className={styles.actions}>
              <button type="button" className="control" onClick={() => resend(one.entry.key)}>
                Send it again
              </button>
              <button type="button" className="control" onClick={() => drop(one.entry.key)}>
                Drop it
              </button>
            </span>
          )}
        </li>
      ))}
    </ul>
  )
}

function whereItIs({ refused }: WaitingEntry, isStored: boolean): string {
  if (refused !== null) return `Not taken: ${refused}`
  return isStored
    ? 'On its way to the record; it stays in this browser until it is there.'
    : 'On its way to the record. This browser keeps no more than this page does: leave the page open until it is there.'
}

/** "Note on Shaft runout: “dial was bent”." */
function waitingWords(entry: NewEntry, plan: VerificationPlan): string {
  switch (entry.kind) {
    case 'result':
      return `Result of ${titleOf(entry.test, plan)}.`
    case 'not-done':
      return `${titleOf(entry.test, plan)} not done: “${entry.reason}”.`
    case 'note':
      return `Note${entry.test === null ? '' : ` on ${titleOf(entry.test, plan)}`}: “${entry.text}”.`
    case 'photo':
      return `Photo${entry.test === null ? '' : ` of ${titleOf(entry.test, plan)}`}.`
    case 'signature':
      return `Signature of ${entry.name}.`
    case 'correction':
      return `Correction of entry ${entry.of}: “${entry.text}”.`
  }
}

const titleOf = (id: string, plan: VerificationPlan): string =>
  plan.stages.flatMap(({ tests }) => tests).find((test) => test.id === id)?.title ?? id
