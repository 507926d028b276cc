'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'
import type { TrainingExercise } from '../../../shared/schemas/training.ts'
import { useHealth } from '../../_stream/store.ts'
import { formatDuration } from '../format.ts'
import { useQuery } from '../query.ts'
import styles from './ExerciseStrip.module.css'
import { useExercise } from './exercise-store.ts'

/** Pages that need no way back to the desk: the desk itself, and what is read from five metres. */
const WITHOUT: ReadonlySet<string> = new Set(['/training', '/large'])

/** While an exercise is open, at the foot of every other page: which it is, what it took so far, and the way back. */
export function ExerciseStrip() {
  const path = usePathname()
  const hasTraining = useHealth()?.training === true
  return hasTraining && !WITHOUT.has(path) ? <OpenExercise /> : null
}

function OpenExercise() {
  const { exercise } = useExercise()
  return exercise == null ? null : <Strip exercise={exercise} />
}

function Strip({ exercise }: { readonly exercise: TrainingExercise }) {
  const zone = useQuery('zone')
  const place = zone === null ? {} : { zone }
  const { seconds, unsafe } = exercise.tally
  return (
    <aside className={`${styles.strip} not-printed`} aria-label="Exercise" data-testid="exercise-strip">
      <p className={styles.title}>Exercise: {exercise.title}</p>
      <p>Time used: {formatDuration(seconds)}</p>
      <p>Unsafe tries: {unsafe}</p>
      <p className={styles.ways}>
        <Link className="control" prefetch={false} href={`/training?${new URLSearchParams(place)}`}>
          To the desk
        </Link>
        <Link
          className="control"
          prefetch={false}
          href={`/training?${new URLSearchParams({ ...place, step: 'answer' })}`}
        >
          Hand in
        </Link>
      </p>
    </aside>
  )
}
