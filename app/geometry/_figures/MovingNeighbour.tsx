import { entriesOf } from '../../../lib/geometry/sided.ts'
import { formatNumber, NBSP } from '../../_ui/format.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import type { Figures } from '../_model/compute.ts'
import { Explained } from './Explained.tsx'
import styles from './Figures.module.css'
import { inDegrees } from './words.ts'

/** How far the force factor runs while a winding roll grows from core to full, or a dancer's arm swings. */
export function MovingNeighbour({ figures: { spread, spreadFault, config } }: { readonly figures: Figures }) {
  if (config.moving === undefined)
    return <p className={styles.soft}>No neighbour moves: wrap and force factor stay as they are.</p>
  if (spread === null) return <p className={styles.problem}>Over its range: {spreadFault}</p>
  const ends = config.moving.kind === 'winding-roll' ? ['core', 'full roll'] : ['lowest', 'highest']
  const [first, last] = [spread.wraps[0] ?? Number.NaN, spread.wraps.at(-1) ?? Number.NaN]
  return (
    <ul className={styles.rows}>
      <Explained
        title={config.moving.kind === 'winding-roll' ? 'Core to full' : 'Lowest to highest'}
        meaning="spread of the force factor while the arrows stand still"
        explanation={{
          formula: 'spread = (largest k − least k) ÷ their mean, over 101 places of the range',
          numbers: entriesOf(spread.spread).map(
            ([side, { least, most, percent }]) =>
              `${SIDES[side].name}: (${formatNumber(most, 4)} − ${formatNumber(least, 4)}) ÷ ${formatNumber((most + least) / 2, 4)} = ${formatNumber(percent, 1)}${NBSP}%`,
          ),
          source: 'force factor of each arrow at each place, the path drawn anew',
          inputs: [],
        }}
        testId="figure-spread"
      >
        {entriesOf(spread.spread).map(([side, { percent }]) => (
          <p key={side}>
            <SideSwatch side={side} />
            <span className="heard-only">{SIDES[side].name} </span>
            {formatNumber(percent, 1)}
            {NBSP}%
          </p>
        ))}
        <p className={styles.soft}>
          wrap {inDegrees(first)} at {ends[0]}, {inDegrees(last)} at {ends[1]}
        </p>
      </Explained>
    </ul>
  )
}
