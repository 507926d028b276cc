import { useState } from 'react'
import type { TrainingAct, TrainingDeed, TrainingExercise } from '../../../shared/schemas/training.ts'
import { type FilledForm, filledForm } from '../_model/act-form.ts'
import { doAct } from '../_model/actions.ts'
import { changeDraft, useDraft } from '../_model/drafts.ts'
import { useSending } from '../_model/use-sending.ts'
import { needsInWords } from '../_model/words.ts'
import { FailureNote } from '../FailureNote.tsx'
import pageStyles from '../Training.module.css'
import { ActFields } from './ActFields.tsx'
import styles from './Acts.module.css'
import outcomeStyles from './Outcome.module.css'
import { Outcome } from './Outcome.tsx'

interface ActFormProps {
  readonly act: TrainingAct
  readonly exercise: TrainingExercise
  readonly zone: string
  /** What came of it the last time here; null: not done yet. */
  readonly last: TrainingDeed | null
}

/**
 * An act: what can hurt, the state it asks for, what has to be said with it, and what came of it. Whether the machine is
 * in that state is for the trainee to see: an act is offered always, and refused by the machine.
 */
export function ActForm({ act, exercise, zone, last }: ActFormProps) {
  const { typed } = useDraft(exercise.id)
  const [isTried, setTried] = useState(false)
  const sending = useSending()
  const form = filledForm(act, typed)
  const send = async () => {
    setTried(true)
    if (Object.keys(form.faults).length > 0) return
    await sending.send(() => doAct({ exercise: exercise.id, act: act.id, zone, args: { ...form.args } }))
    setTried(false)
  }
  return (
    <form
      className={styles.form}
      onSubmit={(event) => {
        event.preventDefault()
        void send()
      }}
      data-testid="act-form"
    >
      {act.caution !== null && <p className={styles.caution}>{act.caution}</p>}
      <Needs act={act} />
      <ActFields
        act={act}
        typed={typed}
        faults={isTried ? form.faults : shownAtOnce(form)}
        onType={(field, text) => changeDraft(exercise.id, { typed: { ...typed, [field]: text } })}
      />
      <p className={pageStyles.actions}>
        <button type="submit" className={`control ${pageStyles.main}`} aria-disabled={sending.isBusy} data-testid="do">
          {sending.isBusy ? 'Doing it' : 'Do it'}
        </button>
      </p>
      <FailureNote failure={sending.failure} />
      <div role="status" className={outcomeStyles.outcome} data-testid="outcome">
        {last !== null && <Outcome deed={last} />}
      </div>
    </form>
  )
}

/** A field that was left empty is told only when somebody wants to go on. */
function shownAtOnce({ faults }: FilledForm): FilledForm['faults'] {
  const early = (words: string) => words !== 'type a number' && words !== 'choose one'
  return Object.fromEntries(Object.entries(faults).filter(([, words]) => early(words)))
}

function Needs({ act }: { readonly act: TrainingAct }) {
  const needs = needsInWords(act.needs)
  return (
    <div className={styles.needs}>
      <p className={pageStyles.soft}>Needs:</p>
      <ul>
        {needs.length === 0 && <li>no special state</li>}
        {needs.map((need) => (
          <li key={need}>{need}</li>
        ))}
      </ul>
    </div>
  )
}
