import Link from 'next/link'
import type { TrainingAct, TrainingExercise } from '../../../shared/schemas/training.ts'
import { useHello } from '../../_stream/store.ts'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import type { Failure } from '../../_ui/ask.ts'
import { formatDuration } from '../../_ui/format.ts'
import { setQuery, useQuery } from '../../_ui/query.ts'
import { FailureNote } from '../FailureNote.tsx'
import pageStyles from '../Training.module.css'
import { ActList } from './ActList.tsx'
import styles from './Desk.module.css'
import { Hints } from './Hints.tsx'
import { Ledger } from './Ledger.tsx'
import { Machine } from './Machine.tsx'
import { Notes } from './Notes.tsx'
import { TakenUpNote } from './TakenUpNote.tsx'

interface DeskViewProps {
  readonly exercise: TrainingExercise
  readonly acts: readonly TrainingAct[]
  /** Why the newest look at the exercise brought nothing. */
  readonly failure: Failure | null
}

/** The machine under the trainee's hands: how it stands, what can be done at it, and what came of it. */
export function DeskView({ exercise, acts, failure }: DeskViewProps) {
  const zone = useDeskZone(exercise)
  return (
    <div className={`${pageStyles.page} ${styles.desk}`} data-testid="desk" data-exercise={exercise.id}>
      <header className={styles.head}>
        <div className={pageStyles.block}>
          <h1>{exercise.title}</h1>
          <p className={pageStyles.lead}>{exercise.task}</p>
        </div>
        <Tally exercise={exercise} />
      </header>
      <FailureNote failure={failure} />
      <TakenUpNote exercise={exercise} />
      <ZoneChoice exercise={exercise} zone={zone} />
      <Instruments zone={zone} />
      <div className={styles.body}>
        <div className={styles.watch}>
          <Machine exercise={exercise} zone={zone} />
        </div>
        <div className={styles.work}>
          <RoleGate needs="operate">
            <ActList exercise={exercise} acts={acts} zone={zone} />
          </RoleGate>
          <RoleGate needs="operate">
            <Hints exercise={exercise} />
          </RoleGate>
          <Notes exercise={exercise.id} />
          <Ledger deeds={exercise.deeds} acts={acts} isOfOneZone={exercise.zones.length === 1} />
        </div>
      </div>
    </div>
  )
}

/** The zone of the address if it is one of the exercise, else its first. */
export function useDeskZone({ zones }: TrainingExercise): string {
  const wanted = useQuery('zone')
  return wanted !== null && zones.includes(wanted) ? wanted : (zones[0] ?? '')
}

function Tally({ exercise }: { readonly exercise: TrainingExercise }) {
  const { seconds, done, refused, unsafe } = exercise.tally
  return (
    <div className={styles.tally}>
      <dl className={styles.tallyRows}>
        <div>
          <dt>Trainee</dt>
          <dd translate="no">{exercise.trainee}</dd>
        </div>
        <div>
          <dt>Time used</dt>
          <dd data-testid="time-used">{formatDuration(seconds)}</dd>
        </div>
        <div>
          <dt>Done</dt>
          <dd>{done}</dd>
        </div>
        <div>
          <dt>Refused</dt>
          <dd>{refused}</dd>
        </div>
        <div>
          <dt>Unsafe tries</dt>
          <dd data-testid="unsafe-tries" className={unsafe > 0 ? styles.unsafe : undefined}>
            {unsafe}
          </dd>
        </div>
      </dl>
      <button
        type="button"
        className={`control ${pageStyles.main}`}
        onClick={() => setQuery('step', 'answer', 'push')}
        data-testid="to-answer"
      >
        Hand in
      </button>
    </div>
  )
}

interface ZoneChoiceProps {
  readonly exercise: TrainingExercise
  readonly zone: string
}

function ZoneChoice({ exercise, zone }: ZoneChoiceProps) {
  const known = useHello()?.zones.zones ?? []
  if (exercise.zones.length < 2) return null
  return (
    <label className={pageStyles.field}>
      Zone
      <select value={zone} onChange={(event) => setQuery('zone', event.target.value, 'push')} data-testid="desk-zone">
        {exercise.zones.map((id) => (
          <option key={id} value={id}>
            {known.find((one) => one.id === id)?.name ?? id}
          </option>
        ))}
      </select>
    </label>
  )
}

const INSTRUMENTS = [
  { path: '/', title: 'Live' },
  { path: '/geometry', title: 'Geometry' },
  { path: '/verification', title: 'Verification' },
  { path: '/shift', title: 'Shift' },
  { path: '/diagnosis', title: 'Diagnosis' },
  { path: '/set-up', title: 'Set-up' },
] as const

/** The other pages show this very machine. */
function Instruments({ zone }: { readonly zone: string }) {
  const query = new URLSearchParams({ zone })
  return (
    <nav className={styles.instruments} aria-label="Instruments for this machine">
      <p className={pageStyles.soft}>The other pages show this machine too:</p>
      {INSTRUMENTS.map(({ path, title }) => (
        <Link key={path} className="control" prefetch={false} href={`${path}?${query}`}>
          {title}
        </Link>
      ))}
    </nav>
  )
}
