import type { TrainingCatalogue, TrainingDebrief, TrainingTruth } from '../../../shared/schemas/training.ts'
import { ofSide } from '../../_ui/sides.ts'
import { remedyTitle } from '../_model/names.ts'
import pageStyles from '../Training.module.css'
import styles from './Debrief.module.css'

interface TruthProps {
  readonly debrief: TrainingDebrief
  readonly catalogue: TrainingCatalogue
}

/** What was hidden, in the clear. */
export function Truth({ debrief, catalogue }: TruthProps) {
  const { truth, changes, exercise } = debrief
  return (
    <section className={pageStyles.block} aria-labelledby="truth">
      <h2 id="truth">What it was</h2>
      {truth.length === 0 && <p className={pageStyles.lead}>Nothing was wrong with this machine.</p>}
      <ul className={styles.truth} data-testid="truth">
        {truth.map((one) => (
          <li key={`${one.cause} ${one.zone} ${one.side}`} data-cause={one.cause} data-side={one.side ?? undefined}>
            <p className={styles.truthTitle}>{one.title + ofSide(one.side)}</p>
            <p className={pageStyles.lead}>{one.words}</p>
            <Origin truth={one} isOfSeveralZones={exercise.zones.length > 1} />
            <p>
              {`${one.remedies.length > 1 ? 'Any of these ends it' : 'This ends it'}: ${one.remedies.map((id) => remedyTitle(catalogue, id)).join('; ')}.`}
            </p>
            {one.mended && <p className={styles.mended}>You had mended it at the machine before you handed in.</p>}
          </li>
        ))}
      </ul>
      {changes.length > 0 && (
        <div className={pageStyles.note}>
          <p>The instructor changed meanwhile:</p>
          <ul className={pageStyles.bullets}>
            {changes.map(({ atMs, words }) => (
              <li key={atMs}>{words}</li>
            ))}
          </ul>
        </div>
      )}
    </section>
  )
}

interface OriginProps {
  readonly truth: TrainingTruth
  readonly isOfSeveralZones: boolean
}

/** Where it was and who put it there, as far as the sentence above it leaves that open. */
function Origin({ truth: { zone, by }, isOfSeveralZones }: OriginProps) {
  const parts = [isOfSeveralZones ? `zone ${zone}` : null, by === 'instructor' ? 'put in by the instructor' : null]
  const words = parts.filter((part) => part !== null).join('; ')
  return words === '' ? null : <p className={pageStyles.soft}>{words}</p>
}
