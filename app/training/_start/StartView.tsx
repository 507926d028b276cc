import { useState } from 'react'
import {
  type StartExercise,
  type TrainingCatalogue,
  type TrainingProgress,
  trainingProgress,
} from '../../../shared/schemas/training.ts'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { setQuery } from '../../_ui/query.ts'
import { startExercise } from '../_model/actions.ts'
import { areWorkedOut } from '../_model/progress.ts'
import { useTrainee } from '../_model/trainee.ts'
import { useAsked } from '../_model/use-asked.ts'
import { useSending } from '../_model/use-sending.ts'
import { FailureNote } from '../FailureNote.tsx'
import styles from '../Training.module.css'
import { FreeExercise } from './FreeExercise.tsx'
import { LessonTrack } from './LessonTrack.tsx'
import { ResultList } from './ResultList.tsx'
import { TraineeField } from './TraineeField.tsx'

interface StartViewProps {
  readonly catalogue: TrainingCatalogue
  /** The exercise that was open a moment ago. */
  readonly closed: string | null
}

/** Who learns, what there is to learn, and how far he has come. */
export function StartView({ catalogue, closed }: StartViewProps) {
  const { start, isMissing, sending } = useStart()
  const progress = useProgress()
  return (
    <div className={styles.page} data-testid="training-start">
      <h1>Training: can you find it?</h1>
      <p className={styles.lead}>
        A simulated line has a fault that nobody tells you. Look for it with the stages of Verification, the instruments
        of Live and your hands at the machine, name cause and remedy, and see afterwards what each test could have told.
      </p>
      {closed !== null && (
        <p className={styles.note}>
          The exercise that was open here has ended.{' '}
          <button type="button" className="control" onClick={() => setQuery('debrief', closed, 'push')}>
            See its debrief
          </button>
        </p>
      )}
      <RoleGate needs="operate">
        <div className={styles.block}>
          <TraineeField isMissing={isMissing} />
          <FailureNote failure={sending.failure} />
        </div>
        <LessonTrack lessons={catalogue.lessons} results={progress?.results ?? []} />
        <FreeExercise catalogue={catalogue} isBusy={sending.isBusy} onStart={(choice) => void start(choice)} />
      </RoleGate>
      {progress !== null && progress.results.length > 0 && (
        <ResultList results={progress.results} catalogue={catalogue} />
      )}
      <p>
        <button type="button" className={styles.link} onClick={() => setQuery('view', 'instructor', 'push')}>
          View of the instructor
        </button>
      </p>
    </div>
  )
}

type Choice = { readonly lesson: string } | { readonly level: string; readonly line?: string }

/** Begins an exercise under the trainee's name; the zones of the line before are no longer there. */
export function useStart() {
  const [trainee] = useTrainee()
  const [isTried, setTried] = useState(false)
  const sending = useSending()
  const name = trainee.trim()
  const start = async (choice: Choice) => {
    setTried(true)
    if (name === '') {
      document.querySelector<HTMLInputElement>('[data-testid="trainee"]')?.focus()
      return
    }
    const exercise = await sending.send(() => startExercise({ trainee: name, ...choice } as StartExercise))
    if (exercise === null) return
    for (const part of ['zone', 'lesson', 'step', 'debrief']) setQuery(part, null, 'replace')
  }
  return { start, sending, isMissing: isTried && name === '' }
}

/** Points come with the debrief, which is still being worked out when an exercise has just ended. */
const AGAIN_MS = 3000

/** What the trainee did so far; null before it is told, and without a name. */
export function useProgress(): TrainingProgress | null {
  const [trainee] = useTrainee()
  const name = trainee.trim()
  const path = name === '' ? null : `/api/training/progress?${new URLSearchParams({ trainee: name })}`
  const { told } = useAsked(path, trainingProgress, AGAIN_MS, undefined, areWorkedOut)
  return name !== '' && told?.trainee === name ? told : null
}
