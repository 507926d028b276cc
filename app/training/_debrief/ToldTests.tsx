import type { ComparedReading, ToldTest } from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import { useUnits } from '../../_ui/units.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import { changeInWords, figureTitle, sideTitle, valueInWords } from '../_model/words.ts'
import pageStyles from '../Training.module.css'
import styles from './Debrief.module.css'

interface ToldTestsProps {
  readonly tests: readonly ToldTest[]
  readonly isOfOneZone: boolean
}

/** Every test: what it told or could have told, on this machine against a sound one of the same make. */
export function ToldTests({ tests, isOfOneZone }: ToldTestsProps) {
  const telling = tests.filter(({ verdict }) => verdict === 'told')
  const done = tests.filter(({ verdict, deeds }) => verdict !== 'told' && deeds.length > 0)
  const rest = tests.filter((test) => !telling.includes(test) && !done.includes(test))
  return (
    <section className={pageStyles.block} aria-labelledby="tests">
      <h2 id="tests">What each test told, and could have told</h2>
      <p className={pageStyles.soft}>
        Each was run on this machine and on a sound twin of it; a difference counts when it is more than its U (k = 2).
      </p>
      <Group title="These tell it" tests={telling} isOfOneZone={isOfOneZone} empty="No test tells it." />
      {done.length > 0 && (
        <Group title="You did these; they could not tell it" tests={done} isOfOneZone={isOfOneZone} />
      )}
      {rest.length > 0 && (
        <details className={styles.more}>
          <summary>{`Tests that you did not do and that would not have told it: ${rest.length}`}</summary>
          <ul className={styles.plainTests}>
            {rest.map((test) => (
              <li key={`${test.id} ${test.zone}`}>
                {test.title}
                <span className={pageStyles.soft}> {restInWords(test)}</span>
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  )
}

function restInWords({ verdict, reason }: ToldTest): string {
  if (verdict === 'not possible') return reason === null ? 'not possible here' : `not possible here: ${reason}`
  return 'reads the same on a sound machine'
}

interface GroupProps extends ToldTestsProps {
  readonly title: string
  readonly empty?: string
}

function Group({ title, tests, isOfOneZone, empty }: GroupProps) {
  return (
    <div className={pageStyles.block}>
      <h3>{title}</h3>
      {tests.length === 0 && empty !== undefined && <p>{empty}</p>}
      {tests.map((test) => (
        <Test key={`${test.id} ${test.zone}`} test={test} isOfOneZone={isOfOneZone} />
      ))}
    </div>
  )
}

function Test({ test, isOfOneZone }: { readonly test: ToldTest; readonly isOfOneZone: boolean }) {
  const { title, zone, deeds, seconds, reason, readings } = test
  return (
    <article className={styles.test} data-testid={`test-${test.id}`} data-verdict={test.verdict}>
      <h4 className={styles.testTitle}>{isOfOneZone ? title : `${title}; zone ${zone}`}</h4>
      <p className={pageStyles.soft}>
        {`${deeds.length === 0 ? 'You did not do it' : `You did it: number ${deeds.join(', ')}`}; ${
          seconds === null ? 'its time is not known' : `${formatDuration(seconds)} with what it needs`
        }.`}
      </p>
      {reason !== null && <p>{reason}</p>}
      {readings.length > 0 && <ReadingTable title={title} readings={readings} />}
    </article>
  )
}

function ReadingTable({ title, readings }: { readonly title: string; readonly readings: readonly ComparedReading[] }) {
  const units = useUnits()
  return (
    <WideBox label={title}>
      <table className={pageStyles.table}>
        <thead>
          <tr>
            <th scope="col">Reading</th>
            <th scope="col">On this machine</th>
            <th scope="col">On a sound one</th>
            <th scope="col">Difference ± U</th>
            <th scope="col">Tells</th>
          </tr>
        </thead>
        <tbody>
          {readings.map((reading) => (
            <tr key={`${reading.figure} ${reading.side}`} className={reading.differs ? styles.differs : undefined}>
              <th scope="row">
                {figureTitle(reading.figure)}
                {reading.side !== null && <span className={pageStyles.soft}> {sideTitle(reading.side)}</span>}
              </th>
              <td>{valueInWords({ value: reading.found, unit: reading.unit, u: null }, units)}</td>
              <td>{valueInWords({ value: reading.sound, unit: reading.unit, u: null }, units)}</td>
              <td>{changeInWords(reading, units) ?? (reading.differs ? 'another' : 'the same')}</td>
              <td>{reading.differs ? 'yes' : 'no'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </WideBox>
  )
}
