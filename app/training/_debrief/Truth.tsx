import type { TrainingCatalogue, TrainingDebrief, TrainingTruth } from '../../../shared/schemas/training.ts'
import { formatTrimmed, NBSP } from '../../_ui/format.ts'
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
            <p className={pageStyles.soft}>{sizeInWords(one, exercise.zones.length > 1)}</p>
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

function sizeInWords({ severity, unit, onset, zone, by }: TrainingTruth, isOfSeveralZones: boolean): string {
  const size = `Size: ${formatTrimmed(severity)}${unit === '' ? '' : `${NBSP}${unit}`}`
  const where = isOfSeveralZones ? `; zone ${zone}` : ''
  const who = by === 'instructor' ? '; put in by the instructor' : ''
  return `${size}; ${onset}${where}${who}.`
}
