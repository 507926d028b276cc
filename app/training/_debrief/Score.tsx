import type {
  ScoredFinding,
  TrainingCatalogue,
  TrainingDebrief,
  TrainingScore,
} from '../../../shared/schemas/training.ts'
import { WideBox } from '../../_ui/WideBox.tsx'
import { causeOnSide } from '../_model/names.ts'
import pageStyles from '../Training.module.css'
import styles from './Debrief.module.css'

interface ScoreProps {
  readonly score: TrainingScore
  readonly answer: TrainingDebrief['answer']
  readonly catalogue: TrainingCatalogue
}

/** What was answered against what it was, part by part. */
export function Score({ score, answer, catalogue }: ScoreProps) {
  return (
    <section className={pageStyles.block} aria-labelledby="score">
      <h2 id="score">Your answer</h2>
      <p data-testid="points">{`${score.points} of ${score.most} points.`}</p>
      {answer === null && <p>You gave up without an answer.</p>}
      {answer !== null && answer.findings.length === 0 && <p>You answered that nothing is wrong.</p>}
      {score.findings.length > 0 && (
        <WideBox label="Your answer, part by part">
          <table className={pageStyles.table}>
            <thead>
              <tr>
                <th scope="col">It was</th>
                <th scope="col">You named</th>
                <th scope="col">Cause</th>
                <th scope="col">Side</th>
                <th scope="col">Remedy</th>
                <th scope="col">In words</th>
              </tr>
            </thead>
            <tbody>
              {score.findings.map((scored) => (
                <Row key={JSON.stringify([scored.finding, scored.truth])} scored={scored} catalogue={catalogue} />
              ))}
            </tbody>
          </table>
        </WideBox>
      )}
    </section>
  )
}

function Row({ scored, catalogue }: { readonly scored: ScoredFinding; readonly catalogue: TrainingCatalogue }) {
  const { finding, truth, group, untold } = scored
  return (
    <tr>
      <td>{truth === null ? 'nothing like this' : causeOnSide(catalogue, truth.cause, truth.side)}</td>
      <td>{finding === null ? 'not named' : causeOnSide(catalogue, finding.cause, finding.side)}</td>
      <td>
        <Mark isRight={scored.cause} />
        {group && <span className={pageStyles.soft}> looks like it</span>}
        {untold && scored.cause && <span className={pageStyles.soft}> no test of yours told it</span>}
      </td>
      <td>{scored.side === null ? 'has none' : <Mark isRight={scored.side} />}</td>
      <td>
        <Mark isRight={scored.remedy} />
      </td>
      <td>{scored.words}</td>
    </tr>
  )
}

/** Told by shape and word, not by colour. */
function Mark({ isRight }: { readonly isRight: boolean }) {
  return (
    <span className={styles.mark} data-right={isRight}>
      <span aria-hidden="true">{isRight ? '✓' : '✕'}</span> {isRight ? 'correct' : 'not correct'}
    </span>
  )
}
