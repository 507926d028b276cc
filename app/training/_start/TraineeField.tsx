import { useTrainee } from '../_model/trainee.ts'
import styles from '../Training.module.css'

/** Whose progress is kept. */
export function TraineeField({ isMissing }: { readonly isMissing: boolean }) {
  const [trainee, setTrainee] = useTrainee()
  return (
    <label className={styles.field}>
      Your name
      <input
        type="text"
        autoComplete="name"
        maxLength={80}
        value={trainee}
        aria-invalid={isMissing}
        aria-describedby="trainee-note"
        onChange={(event) => setTrainee(event.target.value)}
        data-testid="trainee"
      />
      <span id="trainee-note" className={isMissing ? styles.fault : styles.soft}>
        {isMissing ? 'Type a name: progress is kept under it.' : 'Progress is kept under this name.'}
      </span>
    </label>
  )
}
