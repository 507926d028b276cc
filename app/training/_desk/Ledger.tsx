import type { TrainingAct, TrainingDeed } from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import { argsInWords } from '../_model/words.ts'
import pageStyles from '../Training.module.css'
import styles from './Ledger.module.css'
import { Outcome } from './Outcome.tsx'

interface LedgerProps {
  readonly deeds: readonly TrainingDeed[]
  readonly acts: readonly TrainingAct[]
  readonly isOfOneZone: boolean
}

/** What was done so far, newest first. */
export function Ledger({ deeds, acts, isOfOneZone }: LedgerProps) {
  return (
    <section className={pageStyles.block} aria-labelledby="ledger">
      <h2 id="ledger">Done so far</h2>
      {deeds.length === 0 && <p className={pageStyles.soft}>Nothing yet. Choose an act; its result stays here.</p>}
      <ol className={styles.ledger} data-testid="ledger">
        {deeds.toReversed().map((deed) => (
          <li
            key={deed.number}
            data-testid={`deed-${deed.number}`}
            data-act={deed.act}
            data-refused={deed.refused !== null}
          >
            <p className={styles.deedHead}>
              <span className={styles.deedTitle}>{`${deed.number}. ${deed.title}`}</span>
              <span className={pageStyles.soft}>{`at ${formatDuration(deed.atSeconds)}`}</span>
            </p>
            <Said deed={deed} acts={acts} isOfOneZone={isOfOneZone} />
            <Outcome deed={deed} />
          </li>
        ))}
      </ol>
    </section>
  )
}

interface SaidProps extends Omit<LedgerProps, 'deeds'> {
  readonly deed: TrainingDeed
}

function Said({ deed, acts, isOfOneZone }: SaidProps) {
  const said = argsInWords(
    acts.find(({ id }) => id === deed.act),
    deed.args,
  )
  const words = [isOfOneZone ? '' : deed.zone, said].filter((part) => part !== '').join(': ')
  return words === '' ? null : <p className={pageStyles.soft}>{words}</p>
}
