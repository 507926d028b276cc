import type { RecordFigure, TestResult } from '../../../shared/schemas/verification/result.ts'
import stacked from '../../_ui/Stacked.module.css'
import { VerdictMark } from '../../_ui/VerdictMark.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import styles from '../Verification.module.css'
import { shownNumber, whereOf } from './figure-words.ts'

/** What a test said: sentence, figures with ± U, limit and its source, what to look at. */
export function ResultTable({ result, label }: { readonly result: TestResult; readonly label: string }) {
  return (
    <div className={styles.result} data-state={result.state}>
      <p className={styles.verdict}>
        <VerdictMark state={result.state} /> <span>{result.sentence}</span>
      </p>
      {result.figures.length > 0 && (
        <WideBox label={label}>
          <table className={`${styles.figures} ${stacked.stacked}`}>
            <thead>
              <tr>
                <th scope="col">Figure</th>
                <th scope="col">Value ± U</th>
                <th scope="col">Limit</th>
                <th scope="col">Verdict</th>
              </tr>
            </thead>
            <tbody>
              {result.figures.map((figure) => (
                <tr
                  key={`${figure.id} ${figure.side} ${figure.point}`}
                  data-figure={figure.id}
                  data-side={figure.side ?? undefined}
                >
                  <th scope="row">
                    {figure.title}
                    <span className={styles.soft}>{whereOf(figure)}</span>
                  </th>
                  <td data-of="Value ± U">{shownValue(figure)}</td>
                  <td data-of="Limit">
                    {figure.limit === null ? (
                      <span className={styles.soft}>for information</span>
                    ) : (
                      <>
                        {figure.limit.text}
                        <span className={styles.source}>{figure.limit.source}</span>
                      </>
                    )}
                  </td>
                  <td data-of="Verdict">{figure.limit !== null && <VerdictMark state={figure.verdict.state} />}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </WideBox>
      )}
      {result.hints.length > 0 && (
        <ul className={styles.hints}>
          {result.hints.map((hint) => (
            <li key={hint}>{hint}</li>
          ))}
        </ul>
      )}
    </div>
  )
}

function shownValue({ value, U, unit, answer, verdict }: RecordFigure): string {
  if (answer !== null) return answer
  return value === null ? verdict.sentence : shownNumber(value, U, unit)
}
