import { useMemo } from 'react'
import {
  faultList,
  INSTRUCTOR_KEY_HEADER,
  instructorView,
  trainingActs,
  trainingCatalogue,
} from '../../../shared/schemas/training.ts'
import { useHindrance, useSession } from '../../_ui/access/session.ts'
import type { Asking } from '../../_ui/ask.ts'
import { setQuery } from '../../_ui/query.ts'
import { useSessionText } from '../_model/session-kept.ts'
import { useAsked } from '../_model/use-asked.ts'
import { FailureNote } from '../FailureNote.tsx'
import pageStyles from '../Training.module.css'
import { KeyForm } from './KeyForm.tsx'
import { Results } from './Results.tsx'
import { SetExerciseForm } from './SetExerciseForm.tsx'
import { Watched } from './Watched.tsx'

const AGAIN_MS = 1000

/** For whoever teaches: sets faults and watches. It sees what is hidden, so it asks for a role or a key. */
export function InstructorView() {
  const { view } = useSession()
  const hindrance = useHindrance('engineer')
  const [key] = useSessionText('evenpull.training.key')
  const needsKey = view?.login === 'off'
  return (
    <div className={pageStyles.page} data-testid="instructor">
      <button type="button" className={pageStyles.link} onClick={() => setQuery('view', null, 'push')}>
        View of the trainee
      </button>
      <h1>Training: instructor</h1>
      {hindrance !== null && <p className={pageStyles.note}>{hindrance}</p>}
      {needsKey && key === '' && <KeyForm />}
      {hindrance === null && view !== null && (!needsKey || key !== '') && <WithKey key={key} instructorKey={key} />}
    </div>
  )
}

function WithKey({ instructorKey }: { readonly instructorKey: string }) {
  const asking = useMemo<Asking>(
    () => (instructorKey === '' ? {} : { headers: { [INSTRUCTOR_KEY_HEADER]: instructorKey } }),
    [instructorKey],
  )
  const view = useAsked('/api/training/instructor', instructorView, AGAIN_MS, asking)
  const isRefused = view.failure?.code === 'EVP_TRAINING_KEY'
  return isRefused ? <KeyForm failure={view.failure} /> : <Taught asking={asking} view={view} />
}

interface TaughtProps {
  readonly asking: Asking
  readonly view: ReturnType<typeof useAsked<typeof instructorView>>
}

function Taught({ asking, view }: TaughtProps) {
  // Not before the key is known to be right: each question with a wrong one is a refusal.
  const path = (of: string) => (view.told === null ? null : of)
  const catalogue = useAsked(path('/api/training'), trainingCatalogue)
  const acts = useAsked(path('/api/training/acts'), trainingActs)
  const faults = useAsked(path('/api/training/instructor/faults'), faultList, null, asking)
  const failure = view.failure ?? catalogue.failure ?? acts.failure ?? faults.failure
  if (view.told === null || catalogue.told === null || acts.told === null || faults.told === null)
    return failure === null ? <p>Asking the training machine.</p> : <FailureNote failure={failure} />
  return (
    <>
      <FailureNote failure={failure} />
      {view.told.exercise === null ? (
        <p data-testid="no-exercise">No exercise is open.</p>
      ) : (
        <Watched
          view={view.told}
          exercise={view.told.exercise}
          catalogue={catalogue.told}
          acts={acts.told.acts}
          faults={faults.told}
          asking={asking}
          onView={view.tell}
        />
      )}
      {view.told.exercise === null && (
        <SetExerciseForm
          catalogue={catalogue.told}
          faults={faults.told}
          trainees={view.told.trainees}
          asking={asking}
          onView={view.tell}
        />
      )}
      <Results
        asking={asking}
        trainees={view.told.trainees}
        catalogue={catalogue.told}
        isOpen={view.told.exercise !== null}
      />
    </>
  )
}
