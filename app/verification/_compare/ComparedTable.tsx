import { differenceUnit } from '../../../lib/statistics/difference-unit.ts'
import type { ComparedFigure, ComparedValue } from '../../../shared/schemas/verification-compare.ts'
import { formatTrimmed } from '../../_ui/format.ts'
import stacked from '../../_ui/Stacked.module.css'
import { VerdictMark } from '../../_ui/VerdictMark.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import { shownNumber, whereOf } from '../_test/figure-words.ts'
import styles from '../Verification.module.css'
import compareStyles from './Compare.module.css'

interface ComparedTableProps {
  readonly figures: readonly ComparedFigure[]
  readonly columns: readonly [before: string, after: string]
  readonly label: string
}

/** Both values of each figure with their verdicts, and the difference ± its uncertainty. */
export function ComparedTable({ figures, columns: [before, after], label }: ComparedTableProps) {
  return (
    <WideBox label={label}>
      <table className={`${styles.figures} ${compareStyles.comparedFigures} ${stacked.stacked}`}>
        <thead>
          <tr>
            <th scope="col">Figure</th>
            <th scope="col">{before}</th>
            <th scope="col">{after}</th>
            <th scope="col">Difference ± U</th>
          </tr>
        </thead>
        <tbody>
          {figures.map((figure) => (
            <tr key={keyOf(figure)} data-figure={figure.figure}>
              <th scope="row">
                {figure.title}
                <span className={styles.source}>
                  {figure.testTitle}
                  {whereOf({ side: figure.side, point: figure.after?.point ?? null })}
                </span>
              </th>
              <td data-of={before}>
                <Told figure={figure} told={figure.before} />
              </td>
              <td data-of={after}>
                <Told figure={figure} told={figure.after} />
              </td>
              <td data-of="Difference ± U">
                {figure.difference !== null &&
                  shownNumber(figure.difference.value, figure.difference.U, differenceUnit(figure.unit))}
                {figure.ofLimit !== null && (
                  <span className={styles.source}>
                    {formatTrimmed(Number((100 * figure.ofLimit).toPrecision(2)))} % of what its limit allows
                  </span>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </WideBox>
  )
}

const keyOf = ({ test, figure, side, before, after }: ComparedFigure): string =>
  `${test} ${figure} ${side} ${before?.point} ${after?.point}`

/** The mark stands only where the verdicts differ: else it tells nothing about the change. */
function Told({ figure, told }: { readonly figure: ComparedFigure; readonly told: ComparedValue | null }) {
  if (told === null) return null
  const { value, U, answer, state, point } = told
  return (
    <>
      {answer ?? (value === null ? 'not known' : shownNumber(value, U, figure.unit))}
      {figure.before?.point !== figure.after?.point && point !== null && (
        <span className={styles.source}>at {point}</span>
      )}
      {figure.before?.state !== figure.after?.state && state !== 'not-done' && (
        <span className={compareStyles.toldMark}>
          <VerdictMark state={state} />
        </span>
      )}
    </>
  )
}
