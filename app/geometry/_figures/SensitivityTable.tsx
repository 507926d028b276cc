import { entriesOf } from '../../../lib/geometry/sided.ts'
import { formatNumber, NBSP } from '../../_ui/format.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { WideBox } from '../../_ui/WideBox.tsx'
import type { Figures } from '../_model/compute.ts'
import styles from './Figures.module.css'

/** What one degree, one millimetre or one per cent does to the force along each arrow. */
export function SensitivityTable({ figures: { sensitivities } }: { readonly figures: Figures }) {
  const sides = entriesOf(sensitivities[0]?.sides ?? { single: 0 }).map(([side]) => side)
  return (
    <WideBox label="What a small change does, table">
      <table className={styles.table} data-testid="sensitivity">
        <caption className="heard-only">What a small change does to the force along each arrow</caption>
        <thead>
          <tr>
            <th scope="col">Change</th>
            <th scope="col">of</th>
            {sides.map((side) => (
              <th key={side} scope="col">
                <SideSwatch side={side} />
                {SIDES[side].title}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {sensitivities.map(({ name, per, sides: values }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{per}</td>
              {entriesOf(values).map(([side, value]) => (
                <td key={side}>{change(value)}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </WideBox>
  )
}

function change(value: number): string {
  if (!Number.isFinite(value)) return 'unknown'
  const text = formatNumber(value, 2)
  return `${value > 0 && text !== '0.00' ? '+' : ''}${text}${NBSP}%`
}
