import { entriesOf, ofSide } from '../../../lib/geometry/sided.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import stacked from '../../_ui/Stacked.module.css'
import { SIDES } from '../../_ui/sides.ts'
import { useUnits } from '../../_ui/units.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import { type Figures, LEVELS } from '../_model/compute.ts'
import { Explained } from './Explained.tsx'
import { explainSignal, explainWorked } from './explanations.ts'
import styles from './Figures.module.css'
import { signalOf } from './signal-figure.ts'
import { plainWithU } from './words.ts'

/** Force and electrical signal to expect on each side at low, normal and high tension, each with ± U. */
export function ExpectedTable({ figures }: { readonly figures: Figures }) {
  const units = useUnits()
  const { levels } = figures
  const sides = entriesOf(levels.normal.expected.sides).map(([side]) => side)
  const levelInWords = (name: (typeof LEVELS)[number]) =>
    `${name}, ${units.plain(levels[name].state.tension, 'N', false)}`
  const tellsSignal = sides.some((side) => figures.signals[side] != null)
  return (
    <>
      <WideBox label="Expected force and signal">
        <table className={`${styles.table} ${stacked.stacked}`} data-testid="expected-table">
          <caption className="heard-only">Expected force and signal at three tensions</caption>
          <thead>
            <tr>
              <th scope="col">Side</th>
              {LEVELS.map((name) => (
                <th key={name} scope="col">
                  {levelInWords(name)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {sides.map((side) => (
              <tr key={side} data-testid={`expected-${side}`}>
                <th scope="row">
                  <SideSwatch side={side} />
                  {SIDES[side].title}
                </th>
                {LEVELS.map((name) => {
                  const { webForce } = ofSide(levels[name].uncertain.sides, side)
                  const signal = signalOf(figures, levels[name], side)
                  return (
                    <td key={name} data-of={levelInWords(name)} data-testid={`expected-${side}-${name}`}>
                      <span className={styles.main}>{units.figure(webForce.value, webForce.U, 'N').text}</span>
                      <span>
                        {signal === null ? 'no electrical scale' : plainWithU(signal.value, signal.U, signal.unit)}
                      </span>
                      {signal !== null && signal.output !== 'fits' && (
                        <strong className={styles.over}>{signal.output} the range of the output</strong>
                      )}
                    </td>
                  )
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </WideBox>
      <p className={styles.soft}>
        Force of the web along the arrow, and the signal with the bare roller included. ± is the expanded uncertainty at
        about 95 %.
      </p>
      <ul className={styles.rows}>
        <Explained
          title="Expected force"
          meaning="how the first line of each cell is got, at normal tension"
          explanation={explainWorked(
            levels.normal,
            figures,
            'force of the web',
            ({ sides: of }) => entriesOf(of)[0]?.[1].webForce,
            units,
          )}
        >
          {null}
        </Explained>
        {tellsSignal && (
          <Explained
            title="Expected signal"
            meaning="how the second line is got, at normal tension"
            explanation={explainSignal(levels.normal, figures, units)}
          >
            {null}
          </Explained>
        )}
      </ul>
    </>
  )
}
