import type { CapacityCase } from '../../../lib/geometry/capacity.ts'
import { TOO_LARGE_UNDER } from '../../../lib/geometry/capacity.ts'
import { entriesOf, ofSide } from '../../../lib/geometry/sided.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import type { Figures } from '../_model/compute.ts'
import styles from './Figures.module.css'
import { percent } from './words.ts'

/** Every case that could break a cell or lose its signal, both sides, against rated capacity. */
export function CapacityCheck({ figures }: { readonly figures: Figures }) {
  const { expected } = figures.levels.normal
  const units = useUnits()
  return (
    <div className={styles.pair}>
      {entriesOf(expected.sides).map(([side, { capacity: cases, smallestUse }]) => {
        const { capacity } = ofSide(figures.configured.geometry.cells, side)
        return (
          <div key={side}>
            <h3>
              <SideSwatch side={side} />
              {SIDES[side].title}, cell of {units.plain(capacity, 'N', false)}
            </h3>
            <ul className={styles.bars}>
              {cases.map((one) => (
                <CaseBar key={one.name} one={one} />
              ))}
            </ul>
            <p className={styles.soft}>
              The smallest tension uses {percent(smallestUse)} of the cell; under {percent(TOO_LARGE_UNDER, 0)} a
              smaller one would tell it better (common practice, no source).
            </p>
          </div>
        )
      })}
    </div>
  )
}

/** The bar reaches to 125 % of capacity; the mark is rated capacity. */
const BAR_END = 1.25

function CaseBar({ one }: { readonly one: CapacityCase }) {
  const units = useUnits()
  const isOver = one.ofCapacity > 1
  return (
    <li className={styles.bar} data-over={isOver}>
      <span>{one.name}</span>
      <svg className={styles.barPicture} height="14" aria-hidden="true">
        <rect className={styles.barAll} width={`${100 / BAR_END}%`} height="14" />
        <rect
          className={styles.barUsed}
          width={`${(100 * Math.min(BAR_END, one.ofCapacity)) / BAR_END}%`}
          y="3"
          height="8"
        />
        <line x1={`${100 / BAR_END}%`} x2={`${100 / BAR_END}%`} y1="0" y2="14" />
      </svg>
      <span>
        {units.plain(one.force, 'N', false)}, {percent(one.ofCapacity, 0)}
        {isOver && <strong> over capacity</strong>}
      </span>
    </li>
  )
}
