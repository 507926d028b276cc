import type { TrainingDeed, TrainingReading } from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import { useUnits } from '../../_ui/units.tsx'
import { figureTitle, sideTitle, valueInWords } from '../_model/words.ts'
import styles from './Outcome.module.css'

/** What came of an act: what there was to see and read, or why it was not done. */
export function Outcome({ deed }: { readonly deed: TrainingDeed }) {
  if (deed.refused !== null) return <Refusal refused={deed.refused} />
  return (
    <div className={styles.told}>
      {deed.words !== null && <p>{deed.words}</p>}
      <Readings readings={deed.readings} />
      <p className={styles.took}>{`Took ${formatDuration(deed.seconds)}.`}</p>
    </div>
  )
}

function Refusal({ refused }: { readonly refused: NonNullable<TrainingDeed['refused']> }) {
  return (
    <div className={styles.refusal} data-unsafe={refused.unsafe} data-testid="refusal">
      <p className={styles.refusalTitle}>
        {refused.unsafe
          ? 'Refused: this would have been unsafe. It is counted.'
          : 'Refused: not possible as it stands.'}
      </p>
      <p>{refused.reason}</p>
    </div>
  )
}

/** Readings with ± U (k = 2); what is seen in words. */
export function Readings({ readings }: { readonly readings: readonly TrainingReading[] }) {
  const units = useUnits()
  if (readings.length === 0) return null
  return (
    <dl className={styles.readings}>
      {readings.map((reading) => (
        <div key={`${reading.figure} ${reading.side}`}>
          <dt>
            {figureTitle(reading.figure)}
            {reading.side !== null && <span className={styles.side}> {sideTitle(reading.side)}</span>}
          </dt>
          <dd>{valueInWords(reading, units)}</dd>
        </div>
      ))}
    </dl>
  )
}
