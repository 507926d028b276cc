import { FEATURES } from '../../lib/diagnosis/features.ts'
import type { DiagnosisFeature, Threshold } from '../../shared/schemas/diagnosis.ts'
import { decimalsFor, formatNumber, formatTrimmed, NBSP } from '../_ui/format.ts'
import stacked from '../_ui/Stacked.module.css'
import { ofSide } from '../_ui/sides.ts'
import { WideBox } from '../_ui/WideBox.tsx'
import styles from './Diagnosis.module.css'

/** Everything that was weighed: what is not here is missing, never zero. */
export function ReadingList({ features }: { readonly features: readonly DiagnosisFeature[] }) {
  return (
    <details className={styles.rest}>
      <summary>What was weighed ({features.length})</summary>
      <WideBox label="What was weighed">
        <table className={`${styles.table} ${stacked.stacked}`}>
          <thead>
            <tr>
              <th scope="col">Reading</th>
              <th scope="col">Value ± U</th>
              <th scope="col">Limit</th>
              <th scope="col">From</th>
            </tr>
          </thead>
          <tbody>
            {features.map((feature) => (
              <tr key={`${feature.id} ${feature.side} ${feature.source}`}>
                <th scope="row">
                  {FEATURES[feature.id].title}
                  {ofSide(feature.side)}
                </th>
                <td data-of="Value ± U">{shownValue(feature)}</td>
                <td data-of="Limit">{feature.limit ?? 'none'}</td>
                <td data-of="From">{feature.source}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideBox>
    </details>
  )
}

function shownValue({ id, value, u }: DiagnosisFeature): string {
  const { unit } = FEATURES[id]
  if (unit === 'yes') return value === 1 ? 'yes' : 'no'
  const end = unit === '' ? '' : `${NBSP}${unit}`
  if (u === 0) return `${formatTrimmed(value)}${end}`
  const decimals = decimalsFor(2 * u)
  return `${formatNumber(value, decimals)}${NBSP}±${NBSP}${formatNumber(2 * u, decimals)}${end}`
}

/** From which size on each cause would show in what was measured. */
export function ThresholdList({ thresholds }: { readonly thresholds: readonly Threshold[] }) {
  return (
    <details className={styles.rest} data-testid="thresholds">
      <summary>From which size on each cause would have shown</summary>
      <ul>
        {thresholds.map(({ cause, side, sentence }) => (
          <li key={`${cause} ${side}`}>{sentence}</li>
        ))}
      </ul>
    </details>
  )
}
