import { SIDES } from '../../_ui/sides.ts'
import { WideBox } from '../../_ui/WideBox.tsx'
import type { Side } from '../_model/edits.ts'
import styles from './Card.module.css'

const ROWS = ['Arrow, ° from vertical', 'End clearance', 'Reading, bare roller'] as const

/** Lines to write on at the machine. */
export function AsFound({ sides }: { readonly sides: readonly Side[] }) {
  return (
    <section className={styles.found}>
      <WideBox label="To write on">
        <table className={styles.blank}>
          <thead>
            <tr>
              <th scope="col">Written at the machine</th>
              {sides.flatMap((side) =>
                (['as found', 'as left'] as const).map((when) => (
                  <th key={`${side} ${when}`} scope="col">
                    {SIDES[side].name}, {when}
                  </th>
                )),
              )}
            </tr>
          </thead>
          <tbody>
            {ROWS.map((row) => (
              <tr key={row}>
                <th scope="row">{row}</th>
                {sides.flatMap((side) => [<td key={`${side} found`} />, <td key={`${side} left`} />])}
              </tr>
            ))}
          </tbody>
        </table>
      </WideBox>
      <p className={styles.signed}>
        <span>Name</span>
        <span>Date</span>
        <span>Machine locked out by</span>
      </p>
    </section>
  )
}
