import type { TrainingExercise } from '../../../shared/schemas/training.ts'
import { formatClock, formatDay } from '../../_ui/format.ts'
import pageStyles from '../Training.module.css'

/** That the training machine had ended meanwhile, and how the exercise stands since; nothing where it ran through. */
export function TakenUpNote({ exercise }: { readonly exercise: TrainingExercise }) {
  const newest = exercise.takenUp.at(-1)
  if (newest === undefined) return null
  return (
    <p className={pageStyles.note} data-testid="taken-up">
      {`The training machine had ended, last heard of on ${formatDay(newest.lastMs)} at ${formatClock(newest.lastMs)}. The exercise was taken up again on ${formatDay(newest.atMs)} at ${formatClock(newest.atMs)} as it stood then: acts, hints and time are kept, and the machine is in the state they led to.`}
    </p>
  )
}
