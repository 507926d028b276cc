import { entriesOf, ofSide } from '../../../lib/geometry/sided.ts'
import { ARROW_LIMIT } from '../../../lib/geometry/warnings.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES } from '../../_ui/sides.ts'
import { type Units, useUnits } from '../../_ui/units.tsx'
import type { Figures } from '../_model/compute.ts'
import type { Side } from '../_model/edits.ts'
import styles from './Figures.module.css'
import { signalOf } from './signal-figure.ts'
import { angleWithU, directionInDegrees, inDegrees, plainWithU } from './words.ts'

/** The angle to set, as the inclinometer shows it, and how each arrow stands to it. */
export function AngleToSet({ figures }: { readonly figures: Figures | null }) {
  const units = useUnits()
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
      <p className={styles.wrapLine} data-testid="live-wrap">
        {figures === null ? ' ' : `Wrap ${wrapInWords(figures)}`}
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
              <dd data-testid={`live-${side}`}>{figures === null ? null : expectedInWords(figures, side, units)}</dd>
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

const wrapInWords = ({ levels }: Figures): string => {
  const { value, U } = levels.normal.uncertain.wrap
  return angleWithU(value, U)
}

/** Force and signal to expect at normal tension, in one line. */
function expectedInWords(figures: Figures, side: Side, units: Units): string {
  const { normal } = figures.levels
  const { webForce } = ofSide(normal.uncertain.sides, side)
  const signal = signalOf(figures, normal, side)
  const force = units.figure(webForce.value, webForce.U, 'N').text
  const electrical = signal === null ? '' : `, ${plainWithU(signal.value, signal.U, signal.unit)}`
  return `expect ${force}${electrical} at ${units.plain(normal.state.tension, 'N', false)}`
}
