import { useEffect, useState } from 'react'
import { type TrainingCatalogue, type TrainingResult, trainingResults } from '../../../shared/schemas/training.ts'
import type { Asking, Failure } from '../../_ui/ask.ts'
import { formatDuration } from '../../_ui/format.ts'
import { setQuery } from '../../_ui/query.ts'
import { WideBox } from '../../_ui/WideBox.tsx'
import { causeOnSide, exerciseTitle } from '../_model/names.ts'
import { areWorkedOut } from '../_model/progress.ts'
import { useAsked } from '../_model/use-asked.ts'
import { FailureNote } from '../FailureNote.tsx'
import { DebriefCell, EndedCell, PointsCell } from '../ResultCells.tsx'
import pageStyles from '../Training.module.css'
import { saveResults } from './save-results.ts'

interface ResultsProps {
  readonly asking: Asking
  readonly trainees: readonly string[]
  readonly catalogue: TrainingCatalogue
  /** An exercise is open: its result comes when it ends. */
  readonly isOpen: boolean
}

const AGAIN_MS = 3000
const PATH = '/api/training/instructor/results'

/** What all trainees did, and the way to take it away. */
export function Results({ asking, trainees, catalogue, isOpen }: ResultsProps) {
  const [trainee, setTrainee] = useState('')
  const [failure, setFailure] = useState<Failure | null>(null)
  const query = trainee === '' ? {} : { trainee }
  const { told, again } = useAsked(
    `${PATH}?${new URLSearchParams({ format: 'json', ...query })}`,
    trainingResults,
    AGAIN_MS,
    asking,
    areWorkedOut,
  )
  // biome-ignore lint/correctness/useExhaustiveDependencies: an exercise that ends leaves a result
  useEffect(() => again(), [isOpen, again])
  const save = async (format: 'csv' | 'json') =>
    setFailure(await saveResults(`${PATH}?${new URLSearchParams({ format, ...query })}`, format, asking))
  return (
    <section className={pageStyles.block} aria-labelledby="results">
      <h2 id="results">Results</h2>
      <div className={pageStyles.actions}>
        <label className={pageStyles.field}>
          Trainee
          <select value={trainee} onChange={(event) => setTrainee(event.target.value)} data-testid="results-trainee">
            <option value="">all</option>
            {trainees.map((name) => (
              <option key={name} value={name} translate="no">
                {name}
              </option>
            ))}
          </select>
        </label>
      </div>
      <p className={pageStyles.actions}>
        <button type="button" className="control" onClick={() => void save('csv')} data-testid="save-csv">
          Save as CSV
        </button>
        <button type="button" className="control" onClick={() => void save('json')} data-testid="save-json">
          Save as JSON
        </button>
      </p>
      <FailureNote failure={failure} />
      {told !== null && told.results.length === 0 && <p>No exercise has ended yet.</p>}
      {told !== null && told.results.length > 0 && <ResultTable results={told.results} catalogue={catalogue} />}
    </section>
  )
}

interface ResultTableProps {
  readonly results: readonly TrainingResult[]
  readonly catalogue: TrainingCatalogue
}

function ResultTable({ results, catalogue }: ResultTableProps) {
  const name = (one: {
    cause: TrainingResult['truth'][number]['cause']
    side: TrainingResult['truth'][number]['side']
  }) => causeOnSide(catalogue, one.cause, one.side)
  return (
    <WideBox label="Table of the results">
      <table className={`${pageStyles.table} ${pageStyles.results}`} data-testid="all-results">
        <thead>
          <tr>
            <th scope="col">Ended</th>
            <th scope="col">Trainee</th>
            <th scope="col">Exercise</th>
            <th scope="col">It was</th>
            <th scope="col">Answered</th>
            <th scope="col">Points</th>
            <th scope="col">Time used</th>
            <th scope="col">Shortest</th>
            <th scope="col">Unsafe tries</th>
            <th scope="col">Hints</th>
            <th scope="col">Debrief</th>
          </tr>
        </thead>
        <tbody>
          {results.map((result) => (
            <tr key={result.exercise}>
              <EndedCell {...result} />
              <td className={pageStyles.words} translate="no">
                {result.trainee}
              </td>
              <td className={pageStyles.words}>{exerciseTitle(catalogue, result)}</td>
              <td className={pageStyles.words}>
                {result.truth.length === 0 ? 'nothing' : result.truth.map(name).join('; ')}
              </td>
              <td className={pageStyles.words}>{answerInWords(result, name)}</td>
              <PointsCell {...result} />
              <td>{formatDuration(result.seconds)}</td>
              <td>{result.shortestSeconds === null ? 'none' : formatDuration(result.shortestSeconds)}</td>
              <td>{result.unsafe}</td>
              <td>{result.hints}</td>
              <DebriefCell onOpen={() => openDebrief(result.exercise)} />
            </tr>
          ))}
        </tbody>
      </table>
    </WideBox>
  )
}

function answerInWords({ answer }: TrainingResult, name: (one: TrainingResult['truth'][number]) => string): string {
  if (answer === null) return 'given up'
  return answer.length === 0 ? 'nothing is wrong' : answer.map(name).join('; ')
}

function openDebrief(exercise: string): void {
  setQuery('debrief', exercise, 'replace')
  setQuery('view', null, 'push')
}
