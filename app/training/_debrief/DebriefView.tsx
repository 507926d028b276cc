import {
  debriefAnswer,
  type TrainingAct,
  type TrainingCatalogue,
  type TrainingDebrief,
} from '../../../shared/schemas/training.ts'
import { formatClock, formatDay } from '../../_ui/format.ts'
import { setQuery } from '../../_ui/query.ts'
import { Ledger } from '../_desk/Ledger.tsx'
import { useAsked } from '../_model/use-asked.ts'
import { FailureNote } from '../FailureNote.tsx'
import pageStyles from '../Training.module.css'
import styles from './Debrief.module.css'
import { Paths } from './Paths.tsx'
import { Safety } from './Safety.tsx'
import { Score } from './Score.tsx'
import { ToldTests } from './ToldTests.tsx'
import { Truth } from './Truth.tsx'

interface DebriefViewProps {
  readonly id: string
  readonly catalogue: TrainingCatalogue
  readonly acts: readonly TrainingAct[]
}

const AGAIN_MS = 1000

/** What it was, what each test told and could have told, and how the time went. */
export function DebriefView({ id, catalogue, acts }: DebriefViewProps) {
  const asked = useDebrief(id)
  const { told, failure } = asked
  return (
    <div className={pageStyles.page} data-testid="debrief" data-state={told?.state ?? 'asking'}>
      <p className="not-printed">
        <button type="button" className={pageStyles.link} onClick={() => setQuery('debrief', null, 'push')}>
          To lessons and exercises
        </button>
      </p>
      <h1>Debrief</h1>
      <FailureNote failure={failure} />
      {told === null && failure === null && <p>Asking the training machine.</p>}
      {told?.state === 'working' && <Working share={told.share} />}
      {told?.state === 'failed' && (
        <p className={pageStyles.failure}>The debrief could not be worked out: {told.reason}</p>
      )}
      {told?.state === 'ready' && <Ready debrief={told.debrief} catalogue={catalogue} acts={acts} />}
    </div>
  )
}

/** Asked for until it is there. */
function useDebrief(id: string) {
  const path = `/api/training/debriefs/${encodeURIComponent(id)}`
  return useAsked(path, debriefAnswer, AGAIN_MS, undefined, isSettled)
}

const isSettled = ({ state }: { readonly state: string }): boolean => state !== 'working'

function Working({ share }: { readonly share: number }) {
  const percent = Math.floor(100 * share)
  return (
    <div className={pageStyles.block}>
      <p>
        Every test is being run on this machine and on a sound twin of it, to see what each could have told. This takes
        some seconds.
      </p>
      <label className={pageStyles.field}>
        {`${percent} % done`}
        <progress max={100} value={percent} className={styles.progress} />
      </label>
    </div>
  )
}

interface ReadyProps extends Omit<DebriefViewProps, 'id'> {
  readonly debrief: TrainingDebrief
}

function Ready({ debrief, catalogue, acts }: ReadyProps) {
  const { exercise, endedMs, answer } = debrief
  return (
    <>
      <section className={pageStyles.block} aria-label="What it comes to">
        <p className={styles.sentence} data-testid="score-words">
          {debrief.score.words}
        </p>
        <p className={pageStyles.soft}>
          {`${exercise.title}; ${exercise.trainee}; ended ${formatDay(endedMs)} ${formatClock(endedMs)}; line ${exercise.line}, seed ${debrief.seed}.`}
        </p>
        <p className={pageStyles.lead}>{exercise.task}</p>
      </section>
      <Truth debrief={debrief} catalogue={catalogue} />
      <Score score={debrief.score} answer={answer} catalogue={catalogue} />
      <Paths debrief={debrief} acts={acts} />
      <Safety debrief={debrief} />
      <ToldTests tests={debrief.tests} isOfOneZone={exercise.zones.length === 1} />
      {answer !== null && answer.note !== '' && (
        <section className={pageStyles.block} aria-labelledby="notes">
          <h2 id="notes">Your notes</h2>
          <p className={styles.notes} translate="no">
            {answer.note}
          </p>
        </section>
      )}
      <details className={styles.more}>
        <summary>Everything that was done, with its results</summary>
        <Ledger deeds={exercise.deeds} acts={acts} isOfOneZone={exercise.zones.length === 1} />
      </details>
      <Next exercise={exercise} catalogue={catalogue} />
    </>
  )
}

/** The way on: the lesson that follows, or another exercise. */
function Next({
  exercise,
  catalogue,
}: {
  readonly exercise: TrainingDebrief['exercise']
  readonly catalogue: TrainingCatalogue
}) {
  const at = catalogue.lessons.findIndex(({ id }) => id === exercise.lesson)
  const next = at < 0 ? undefined : catalogue.lessons[at + 1]
  const leave = (lesson: string | null) => {
    setQuery('lesson', lesson, 'replace')
    setQuery('debrief', null, 'push')
  }
  return (
    <p className={`${pageStyles.actions} not-printed`}>
      {next !== undefined && (
        <button type="button" className={`control ${pageStyles.main}`} onClick={() => leave(next.id)}>
          Next lesson: {next.title}
        </button>
      )}
      {exercise.lesson !== null && (
        <button type="button" className="control" onClick={() => leave(exercise.lesson)}>
          Do this lesson again
        </button>
      )}
      <button type="button" className="control" onClick={() => leave(null)} data-testid="next-exercise">
        Choose another exercise
      </button>
      <button type="button" className="control" onClick={() => print()}>
        Print
      </button>
    </p>
  )
}
