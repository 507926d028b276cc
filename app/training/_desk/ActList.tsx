import { useId } from 'react'
import type { TrainingAct, TrainingDeed, TrainingExercise } from '../../../shared/schemas/training.ts'
import { actsByDoing, DOING_TITLES, DOINGS, type Doing } from '../_model/act-groups.ts'
import { changeDraft, useDraft } from '../_model/drafts.ts'
import { costInWords } from '../_model/words.ts'
import pageStyles from '../Training.module.css'
import { ActForm } from './ActForm.tsx'
import styles from './Acts.module.css'

interface ActListProps {
  readonly exercise: TrainingExercise
  readonly acts: readonly TrainingAct[]
  readonly zone: string
}

/** What a technician can do here, by what he has in mind; one form open at a time. */
export function ActList({ exercise, acts, zone }: ActListProps) {
  const draft = useDraft(exercise.id)
  const name = useId()
  const doing = DOINGS.find((one) => one === draft.doing) ?? 'safe'
  const choose = (next: Doing) => changeDraft(exercise.id, { doing: next, act: '' })
  const shown = actsByDoing(acts).get(doing) ?? []
  return (
    <section className={pageStyles.block} aria-labelledby="acts">
      <h2 id="acts">What to do</h2>
      <fieldset className={styles.doings}>
        <legend className="heard-only">Kind of act</legend>
        {DOINGS.map((one) => (
          <label key={one}>
            <input
              type="radio"
              name={name}
              checked={one === doing}
              onChange={() => choose(one)}
              data-testid={`doing-${one}`}
            />
            <span>{DOING_TITLES[one]}</span>
          </label>
        ))}
      </fieldset>
      <ul className={styles.acts}>
        {shown.map((act) => (
          <ActRow
            key={act.id}
            act={act}
            exercise={exercise}
            zone={zone}
            isOpen={act.id === draft.act}
            onToggle={() => changeDraft(exercise.id, { act: act.id === draft.act ? '' : act.id })}
          />
        ))}
      </ul>
    </section>
  )
}

interface ActRowProps {
  readonly act: TrainingAct
  readonly exercise: TrainingExercise
  readonly zone: string
  readonly isOpen: boolean
  readonly onToggle: () => void
}

function ActRow({ act, exercise, zone, isOpen, onToggle }: ActRowProps) {
  const panel = useId()
  return (
    <li className={styles.act} data-open={isOpen}>
      <button
        type="button"
        className={styles.actHead}
        aria-expanded={isOpen}
        aria-controls={isOpen ? panel : undefined}
        onClick={onToggle}
        data-testid={`act-${act.id}`}
      >
        <span className={styles.actTitle}>{act.title}</span>
        <span className={styles.cost}>{costInWords(act.seconds)}</span>
      </button>
      {isOpen && (
        <div id={panel} className={styles.actPanel}>
          <ActForm act={act} exercise={exercise} zone={zone} last={lastOf(exercise.deeds, act.id, zone)} />
        </div>
      )}
    </li>
  )
}

const lastOf = (deeds: readonly TrainingDeed[], act: string, zone: string): TrainingDeed | null =>
  deeds.findLast((deed) => deed.act === act && deed.zone === zone) ?? null
