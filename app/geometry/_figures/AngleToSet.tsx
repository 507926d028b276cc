import { entriesOf } from '../../../lib/geometry/sided.ts'
import { ARROW_LIMIT } from '../../../lib/geometry/warnings.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import type { Figures } from '../_model/compute.ts'
import styles from './Figures.module.css'
import { directionInDegrees, inDegrees } from './words.ts'

/** The angle to set, as the inclinometer shows it, and how each arrow stands to it. */
export function AngleToSet({ figures }: { readonly figures: Figures | null }) {
  const expected = figures?.levels.normal.expected ?? null
  return (
    <section className={styles.angle} aria-labelledby="angle-to-set" data-testid="angle-to-set">
      <h2 id="angle-to-set">Arrow angle to set</h2>
      <p className={styles.large}>
        {expected === null ? (
          <span className={styles.unknown}>unknown</span>
        ) : (
          inDegrees(expected.target.words.fromVertical)
        )}
      </p>
      <p className={styles.angleWords}>
        {expected === null ? 'The layout cannot be as it is drawn.' : afterAngle(expected.target.words.sentence)}
      </p>
      <dl className={styles.sides}>
        {expected !== null &&
          entriesOf(expected.sides).map(([side, { arrow, words, turn, offTarget }]) => (
            <div key={side} data-off={Math.abs(offTarget) > ARROW_LIMIT} data-testid={`arrow-words-${side}`}>
              <dt>
                <SideSwatch side={side} />
                {SIDES[side].title}
              </dt>
              <dd>
                {words.sentence}
                <span className={styles.soft}> (model {directionInDegrees(arrow)})</span>
              </dd>
              <dd className={styles.turn}>{turn}</dd>
            </div>
          ))}
      </dl>
      <p className={styles.soft}>
        {expected === null
          ? ' '
          : `Model ${directionInDegrees(expected.target.angle)}, counter-clockwise from downstream. Within ${inDegrees(ARROW_LIMIT, 0)} is right (common practice, no source).`}
      </p>
    </section>
  )
}

/** The words after the angle that stands large above them. */
const afterAngle = (sentence: string): string => sentence.replace(/^[\d.]+° /, '')
