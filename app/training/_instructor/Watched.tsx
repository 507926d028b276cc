import type {
  FaultList,
  InstructorView,
  TrainingAct,
  TrainingCatalogue,
  TrainingExercise,
} from '../../../shared/schemas/training.ts'
import type { Asking } from '../../_ui/ask.ts'
import { formatClock, formatDuration, formatNumber, NBSP } from '../../_ui/format.ts'
import { ofSide } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import deskStyles from '../_desk/Desk.module.css'
import { useDeskZone } from '../_desk/DeskView.tsx'
import { Ledger } from '../_desk/Ledger.tsx'
import { Machine } from '../_desk/Machine.tsx'
import { TakenUpNote } from '../_desk/TakenUpNote.tsx'
import pageStyles from '../Training.module.css'
import { ChangeForms } from './ChangeForms.tsx'
import styles from './Instructor.module.css'

export interface WatchedProps {
  readonly view: InstructorView
  readonly exercise: TrainingExercise
  readonly catalogue: TrainingCatalogue
  readonly acts: readonly TrainingAct[]
  readonly faults: FaultList
  readonly asking: Asking
  readonly onView: (view: InstructorView) => void
}

/** The exercise that is open: what is hidden, what the trainee does, and what can be changed under his hands. */
export function Watched(props: WatchedProps) {
  const { view, exercise, acts } = props
  const zone = useDeskZone(exercise)
  const { seconds, done, refused, unsafe } = exercise.tally
  return (
    <>
      <section className={pageStyles.block} aria-labelledby="open">
        <h2 id="open">{exercise.title}</h2>
        <p data-testid="watched">
          {`${exercise.trainee}: time used ${formatDuration(seconds)}; done ${done}; refused ${refused}; unsafe tries ${unsafe}; hints ${exercise.hints.given.length}.`}
        </p>
        <p className={pageStyles.lead}>{exercise.task}</p>
        <p className={pageStyles.soft}>{`Line ${exercise.line}, seed ${view.seed ?? 'unknown'}.`}</p>
        <TakenUpNote exercise={exercise} />
      </section>
      <div className={deskStyles.body}>
        <div className={deskStyles.watch}>
          <TrueMachine view={view} />
          <Machine exercise={exercise} zone={zone} />
        </div>
        <div className={deskStyles.work}>
          <Hidden view={view} />
          <ChangeForms {...props} />
          <Ledger deeds={exercise.deeds} acts={acts} isOfOneZone={exercise.zones.length === 1} />
        </div>
      </div>
    </>
  )
}

function Hidden({ view }: { readonly view: InstructorView }) {
  return (
    <section className={pageStyles.block} aria-labelledby="hidden">
      <h2 id="hidden">What is hidden</h2>
      {view.faults.length === 0 && <p>Nothing is wrong with the machine.</p>}
      <ul className={styles.hidden} data-testid="hidden-faults">
        {view.faults.map((fault) => (
          <li key={`${fault.cause} ${fault.zone} ${fault.side}`} data-cause={fault.cause}>
            <p className={styles.hiddenTitle}>{`${fault.title}${ofSide(fault.side)}; zone ${fault.zone}`}</p>
            <p>{fault.words}</p>
            <p className={pageStyles.soft}>
              {fault.mended
                ? 'Mended by the trainee.'
                : `Now ${formatNumber(100 * fault.level, 0)}${NBSP}% of ${formatNumber(fault.severity, 2)}${NBSP}${fault.unit}; ${fault.onset}.`}
            </p>
          </li>
        ))}
      </ul>
      {view.changes.length > 0 && (
        <ol className={pageStyles.bullets} data-testid="changes">
          {view.changes.map(({ atMs, words }) => (
            <li key={`${atMs} ${words}`}>{`${formatClock(atMs)}: ${words}`}</li>
          ))}
        </ol>
      )}
    </section>
  )
}

/** What the machine really does, which nobody at it can read so. */
function TrueMachine({ view }: { readonly view: InstructorView }) {
  const units = useUnits()
  const { machine } = view
  if (machine === null) return null
  return (
    <section className={pageStyles.block} aria-labelledby="true-machine">
      <h2 id="true-machine">What the machine does</h2>
      <dl className={styles.facts} data-testid="true-machine">
        <div>
          <dt>Speed</dt>
          <dd>{units.plain(machine.speedMMin / 60, 'm/s', false)}</dd>
        </div>
        <div>
          <dt>Temperature of the hall</dt>
          <dd>{units.plain(machine.hallC, '°C', false)}</dd>
        </div>
        <div>
          <dt>Speed and tension are set</dt>
          <dd>{machine.byHand ? 'by the instructor' : 'by the programme of the line'}</dd>
        </div>
        {Object.entries(machine.zones).map(([zone, { setN, trueN }]) => (
          <div key={zone}>
            <dt>{`Web tension, zone ${zone}: set, true`}</dt>
            <dd>{`${units.plain(setN, 'N', false)}, ${units.plain(trueN, 'N', false)}`}</dd>
          </div>
        ))}
      </dl>
    </section>
  )
}
