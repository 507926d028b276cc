import type { TrainingCatalogue, TrainingResult } from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import { setQuery } from '../../_ui/query.ts'
import { type LessonProgress, lessonProgress, nextLesson } from '../_model/progress.ts'
import styles from '../Training.module.css'

interface LessonTrackProps {
  readonly lessons: TrainingCatalogue['lessons']
  /** Of the trainee, newest first. */
  readonly results: readonly TrainingResult[]
}

/** The lessons in their order, each with how it stands. */
export function LessonTrack({ lessons, results }: LessonTrackProps) {
  const next = nextLesson(lessons, results)
  const done = lessons.filter(({ id }) => lessonProgress(results, id).isDone).length
  return (
    <section className={styles.block} aria-labelledby="lessons">
      <h2 id="lessons">Lessons</h2>
      <p data-testid="lessons-done">{`${done} of ${lessons.length} lessons done.`}</p>
      <ol className={styles.lessons}>
        {lessons.map((lesson, i) => {
          const progress = lessonProgress(results, lesson.id)
          return (
            <li key={lesson.id}>
              <button
                type="button"
                className={styles.row}
                aria-current={lesson.id === next?.id ? 'step' : undefined}
                onClick={() => setQuery('lesson', lesson.id, 'push')}
                data-testid={`lesson-${lesson.id}`}
                data-done={progress.isDone}
              >
                <span className={styles.rowNumber} aria-hidden="true">
                  {progress.isDone ? '✓' : i + 1}
                </span>
                <span className={styles.rowWords}>
                  <span className={styles.rowTitle}>{lesson.title}</span>
                  <span className={styles.soft}>{lesson.teaches}</span>
                </span>
                <span className={styles.rowState}>{stateInWords(progress, lesson.id === next?.id)}</span>
              </button>
            </li>
          )
        })}
      </ol>
    </section>
  )
}

function stateInWords({ tries, isDone, bestSeconds, bestPoints, lastUnsafe }: LessonProgress, isNext: boolean) {
  if (tries === 0) return isNext ? 'next' : 'not tried yet'
  const points = bestPoints === null ? '' : `; ${bestPoints.points} of ${bestPoints.most} points`
  const unsafe = lastUnsafe === 0 ? 'no unsafe try' : `unsafe tries: ${lastUnsafe}`
  if (!isDone || bestSeconds === null) return `not found yet${points}; ${unsafe} the last time`
  return `done${points}; best time ${formatDuration(bestSeconds)}; ${unsafe} the last time`
}
