import type { TrainingDebrief } from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import pageStyles from '../Training.module.css'
import styles from './Debrief.module.css'

/** What the machine refused, the unsafe first, and the hints that were taken. */
export function Safety({ debrief }: { readonly debrief: TrainingDebrief }) {
  const { refusals, hints } = debrief
  const unsafe = refusals.filter((refusal) => refusal.unsafe).length
  return (
    <section className={pageStyles.block} aria-labelledby="safety">
      <h2 id="safety">Safety</h2>
      <p data-testid="safety">{unsafe === 0 ? 'No unsafe try.' : `Unsafe tries: ${unsafe}. Each costs a point.`}</p>
      {refusals.length > 0 && (
        <ul className={styles.refusals}>
          {refusals.map((refusal) => (
            <li key={refusal.number} data-unsafe={refusal.unsafe}>
              <p className={styles.refusalTitle}>
                {`${refusal.unsafe ? 'Unsafe' : 'Not possible'}: ${refusal.title}, at ${formatDuration(refusal.atSeconds)}`}
              </p>
              <p>{refusal.reason}</p>
            </li>
          ))}
        </ul>
      )}
      {hints.of > 0 && <p>{`Hints taken: ${hints.taken} of ${hints.of}.`}</p>}
    </section>
  )
}
