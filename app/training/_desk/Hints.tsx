import type { TrainingExercise } from '../../../shared/schemas/training.ts'
import { takeHint } from '../_model/actions.ts'
import { useSending } from '../_model/use-sending.ts'
import { FailureNote } from '../FailureNote.tsx'
import pageStyles from '../Training.module.css'
import styles from './Hints.module.css'

/** Hints one after the other; each is counted. Nothing where an exercise has none. */
export function Hints({ exercise }: { readonly exercise: TrainingExercise }) {
  const { given, left } = exercise.hints
  const sending = useSending()
  if (given.length + left === 0) return null
  return (
    <section className={pageStyles.block} aria-labelledby="hints">
      <h2 id="hints">Hints</h2>
      {given.length > 0 && (
        <ol className={styles.hints} data-testid="hints">
          {given.map((hint) => (
            <li key={hint}>{hint}</li>
          ))}
        </ol>
      )}
      {left > 0 ? (
        <p className={pageStyles.actions}>
          <button
            type="button"
            className="control"
            aria-disabled={sending.isBusy}
            onClick={() => void sending.send(() => takeHint(exercise.id))}
            data-testid="take-hint"
          >
            {given.length === 0 ? 'Take a hint' : 'Take the next hint'}
          </button>
          <span className={pageStyles.soft}>{`Left: ${left}. Each costs a point.`}</span>
        </p>
      ) : (
        <p className={pageStyles.soft}>There are no more hints.</p>
      )}
      <FailureNote failure={sending.failure} />
    </section>
  )
}
