import type { TrainingCatalogue, TrainingResult } from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import { setQuery } from '../../_ui/query.ts'
import { WideBox } from '../../_ui/WideBox.tsx'
import { exerciseTitle } from '../_model/names.ts'
import { DebriefCell, EndedCell, PointsCell } from '../ResultCells.tsx'
import styles from '../Training.module.css'

const MOST = 20

interface ResultListProps {
  readonly results: readonly TrainingResult[]
  readonly catalogue: TrainingCatalogue
}

/** What a trainee did so far, each with the way to its debrief. */
export function ResultList({ results, catalogue }: ResultListProps) {
  return (
    <section className={styles.block} aria-labelledby="results">
      <h2 id="results">What you did so far</h2>
      <WideBox label="Table of what you did so far">
        <table className={`${styles.table} ${styles.results}`} data-testid="results">
          <thead>
            <tr>
              <th scope="col">Ended</th>
              <th scope="col">Exercise</th>
              <th scope="col">Found</th>
              <th scope="col">Points</th>
              <th scope="col">Time used</th>
              <th scope="col">Unsafe tries</th>
              <th scope="col">Hints</th>
              <th scope="col">Debrief</th>
            </tr>
          </thead>
          <tbody>
            {results.slice(0, MOST).map((result) => (
              <tr key={result.exercise}>
                <EndedCell {...result} />
                <td className={styles.words}>{exerciseTitle(catalogue, result)}</td>
                <td>{foundInWords(result)}</td>
                <PointsCell {...result} />
                <td>{formatDuration(result.seconds)}</td>
                <td>{result.unsafe}</td>
                <td>{result.hints}</td>
                <DebriefCell onOpen={() => setQuery('debrief', result.exercise, 'push')} />
              </tr>
            ))}
          </tbody>
        </table>
      </WideBox>
    </section>
  )
}

function foundInWords({ ended, found }: TrainingResult): string {
  if (ended === 'given-up') return 'given up'
  return found ? 'yes' : 'no'
}
