import type { TrainingCatalogue } from '../../../shared/schemas/training.ts'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { setQuery } from '../../_ui/query.ts'
import { FailureNote } from '../FailureNote.tsx'
import styles from '../Training.module.css'
import { useStart } from './StartView.tsx'
import { TraineeField } from './TraineeField.tsx'

interface LessonViewProps {
  readonly lesson: TrainingCatalogue['lessons'][number]
  readonly catalogue: TrainingCatalogue
}

/** A lesson before it begins: what it teaches, and the case. */
export function LessonView({ lesson, catalogue }: LessonViewProps) {
  const { start, sending, isMissing } = useStart()
  const number = catalogue.lessons.indexOf(lesson) + 1
  const line = catalogue.lines.find(({ id }) => id === lesson.line)
  return (
    <div className={styles.page} data-testid="lesson">
      <button type="button" className={styles.link} onClick={() => setQuery('lesson', null, 'push')}>
        All lessons
      </button>
      <h1>
        {`Lesson ${number} of ${catalogue.lessons.length}`}: {lesson.title}
      </h1>
      <section className={styles.block} aria-labelledby="teaches">
        <h2 id="teaches">What it teaches</h2>
        <p className={styles.lead}>{lesson.teaches}</p>
      </section>
      <section className={styles.block} aria-labelledby="case">
        <h2 id="case">The case</h2>
        <p className={styles.lead}>{lesson.task}</p>
        {line !== undefined && <p className={styles.soft}>{line.title}</p>}
      </section>
      <section className={styles.block} aria-labelledby="how">
        <h2 id="how">How it goes</h2>
        <ul className={styles.bullets}>
          <li>Every act at the machine takes its time, which is counted; the clock on the wall is not.</li>
          <li>An act that would be unsafe is refused with the reason, and counted.</li>
          <li>{`There are ${lesson.hints} hints; each that you take costs a point.`}</li>
          <li>You hand in cause and remedy; the debrief then shows the truth.</li>
        </ul>
      </section>
      <RoleGate needs="operate">
        <div className={styles.block}>
          <TraineeField isMissing={isMissing} />
          <FailureNote failure={sending.failure} />
          <p>
            <button
              type="button"
              className={`control ${styles.main}`}
              disabled={sending.isBusy}
              onClick={() => void start({ lesson: lesson.id })}
              data-testid="start-lesson"
            >
              {sending.isBusy ? 'Setting up the line' : 'Start the lesson'}
            </button>
          </p>
        </div>
      </RoleGate>
    </div>
  )
}
