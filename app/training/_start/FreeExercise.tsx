import type { TrainingCatalogue } from '../../../shared/schemas/training.ts'
import { useRememberedText } from '../../_ui/remembered.ts'
import styles from '../Training.module.css'

interface FreeExerciseProps {
  readonly catalogue: TrainingCatalogue
  readonly isBusy: boolean
  readonly onStart: (choice: { readonly level: string; readonly line?: string }) => void
}

/** How hard it is to be, and on which line. */
export function FreeExercise({ catalogue, isBusy, onStart }: FreeExerciseProps) {
  const [keptLevel, setLevel] = useRememberedText('evenpull.training.level', '')
  const [keptLine, setLine] = useRememberedText('evenpull.training.line', '')
  const level = catalogue.levels.find(({ id }) => id === keptLevel) ?? catalogue.levels[0]
  const line = catalogue.lines.find(({ id }) => id === keptLine)
  if (level === undefined) return null
  return (
    <section className={styles.block} aria-labelledby="free">
      <h2 id="free">Free exercise</h2>
      <fieldset className={styles.levels}>
        <legend>Level</legend>
        {catalogue.levels.map(({ id, title, about }) => (
          <label key={id}>
            <input
              type="radio"
              name="level"
              value={id}
              checked={id === level.id}
              onChange={() => setLevel(id)}
              data-testid={`level-${id}`}
            />
            <span className={styles.rowWords}>
              <span className={styles.rowTitle}>{title}</span>
              <span className={styles.soft}>{about}</span>
            </span>
          </label>
        ))}
      </fieldset>
      <label className={styles.field}>
        Line
        <select value={line?.id ?? ''} onChange={(event) => setLine(event.target.value)} data-testid="line">
          <option value="">any of them, drawn by lot</option>
          {catalogue.lines.map(({ id, title }) => (
            <option key={id} value={id}>
              {title}
            </option>
          ))}
        </select>
      </label>
      <p>
        <button
          type="button"
          className="control"
          disabled={isBusy}
          onClick={() => onStart({ level: level.id, ...(line === undefined ? {} : { line: line.id }) })}
          data-testid="start-level"
        >
          {isBusy ? 'Setting up the line' : 'Start the exercise'}
        </button>
      </p>
    </section>
  )
}
