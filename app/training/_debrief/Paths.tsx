import type {
  PathStep,
  ShortestPath,
  TrainingAct,
  TrainingDebrief,
  TrainingDeed,
} from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import { ofSide } from '../../_ui/sides.ts'
import { argsInWords } from '../_model/words.ts'
import pageStyles from '../Training.module.css'
import styles from './Debrief.module.css'

interface PathsProps {
  readonly debrief: TrainingDebrief
  readonly acts: readonly TrainingAct[]
}

/** The way that was gone beside the shortest good one, with what each step costs. */
export function Paths({ debrief, acts }: PathsProps) {
  const { time, shortest, exercise, truth } = debrief
  return (
    <section className={pageStyles.block} aria-labelledby="time">
      <h2 id="time">Time</h2>
      <dl className={styles.times}>
        <div>
          <dt>Used at the machine</dt>
          <dd data-testid="time-total">{formatDuration(time.used)}</dd>
        </div>
        <div>
          <dt>Shortest good way</dt>
          <dd>{time.shortest === null ? shortestUnknown(truth.length) : formatDuration(time.shortest)}</dd>
        </div>
        <div>
          <dt>By the clock on the wall</dt>
          <dd>{formatDuration(time.wall)}</dd>
        </div>
      </dl>
      <div className={styles.paths}>
        <div className={pageStyles.block}>
          <h3>Your way</h3>
          <Gone deeds={exercise.deeds} acts={acts} />
        </div>
        <div className={pageStyles.block} data-testid="shortest">
          {shortest.map((path) => (
            <Shortest key={`${path.cause} ${path.side} ${path.test}`} path={path} truth={truth} acts={acts} />
          ))}
        </div>
      </div>
    </section>
  )
}

const shortestUnknown = (faults: number): string =>
  faults === 0 ? 'none: nothing was wrong' : 'none: no single test tells it'

function Gone({ deeds, acts }: { readonly deeds: readonly TrainingDeed[]; readonly acts: readonly TrainingAct[] }) {
  if (deeds.length === 0) return <p>Nothing was done at the machine.</p>
  return (
    <ol className={styles.steps}>
      {deeds.map((deed) => (
        <li key={deed.number} data-purpose={deed.refused === null ? 'test' : 'refused'}>
          <span>
            {deed.title}
            <Said act={acts.find(({ id }) => id === deed.act)} args={deed.args} />
            {deed.refused !== null && (
              <strong>{deed.refused.unsafe ? ' (refused as unsafe)' : ' (refused as not possible)'}</strong>
            )}
          </span>
          <span className={styles.stepTime}>{formatDuration(deed.seconds)}</span>
        </li>
      ))}
    </ol>
  )
}

interface ShortestProps {
  readonly path: ShortestPath
  readonly truth: TrainingDebrief['truth']
  readonly acts: readonly TrainingAct[]
}

function Shortest({ path, truth, acts }: ShortestProps) {
  const title = truth.find(({ cause, side }) => cause === path.cause && side === path.side)?.title ?? path.cause
  return (
    <>
      <h3>{`Shortest good way to: ${title}${ofSide(path.side)}`}</h3>
      <ol className={styles.steps}>
        {path.steps.map((step, i) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: the same step may come twice, its place does not change
          <li key={i} data-purpose={step.purpose}>
            <Step step={step} act={acts.find(({ id }) => id === step.act)} />
          </li>
        ))}
      </ol>
      <p className={pageStyles.soft}>
        {`Together ${formatDuration(path.seconds)}, from the state the line was found in. What tells is in bold.`}
      </p>
    </>
  )
}

function Step({ step, act }: { readonly step: PathStep; readonly act: TrainingAct | undefined }) {
  return (
    <>
      <span>
        {step.purpose === 'test' ? <strong>{step.title}</strong> : step.title}
        <Said act={act} args={step.args} />
      </span>
      <span className={styles.stepTime}>{formatDuration(step.seconds)}</span>
    </>
  )
}

interface SaidProps {
  readonly act: TrainingAct | undefined
  readonly args: Readonly<Record<string, unknown>>
}

function Said({ act, args }: SaidProps) {
  const said = argsInWords(act, args)
  return said === '' ? null : <span className={pageStyles.soft}> {said}</span>
}
