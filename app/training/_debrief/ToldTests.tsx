import { type ReactNode, useState } from 'react'
import type { ComparedReading, ToldTest } from '../../../shared/schemas/training.ts'
import { formatDuration } from '../../_ui/format.ts'
import stacked from '../../_ui/Stacked.module.css'
import { useUnits } from '../../_ui/units.tsx'
import { WideBox } from '../../_ui/WideBox.tsx'
import { doneThenCheapest, plainestFirst } from '../_model/telling.ts'
import { changeInWords, figureTitle, sideTitle, valueInWords } from '../_model/words.ts'
import pageStyles from '../Training.module.css'
import styles from './Debrief.module.css'

interface ToldTestsProps {
  readonly tests: readonly ToldTest[]
  readonly isOfOneZone: boolean
}

/** Tests shown at once; those that are left cost more. */
const MOST_TESTS = 6
/** Readings of a test shown at once, the plainest. */
const MOST_READINGS = 2

/** Every test: what it told or could have told, on this machine against a sound one of the same make. */
export function ToldTests({ tests, isOfOneZone }: ToldTestsProps) {
  const telling = doneThenCheapest(tests.filter(({ verdict }) => verdict === 'told'))
  const done = tests.filter(({ verdict, deeds }) => verdict !== 'told' && deeds.length > 0)
  const rest = tests.filter(({ verdict, deeds }) => verdict !== 'told' && deeds.length === 0)
  const atOnce = telling.filter(({ deeds }, i) => i < MOST_TESTS || deeds.length > 0)
  const more = telling.slice(atOnce.length)
  return (
    <section className={pageStyles.block} aria-labelledby="tests">
      <h2 id="tests">What each test told, and could have told</h2>
      <p className={pageStyles.lead}>
        Each was run on this machine and on a sound twin of it; a difference counts when it is more than its U (k = 2).
      </p>
      <h3>These tell it</h3>
      {telling.length === 0 && <p>No test tells it.</p>}
      <TestList tests={atOnce} all={tests} isOfOneZone={isOfOneZone} />
      {more.length > 0 && (
        <Folded title={`More tests that tell it, at more cost: ${more.length}`}>
          <TestList tests={more} all={tests} isOfOneZone={isOfOneZone} />
        </Folded>
      )}
      {done.length > 0 && (
        <>
          <h3>You did these; they could not tell it</h3>
          <TestList tests={done} all={tests} isOfOneZone={isOfOneZone} />
        </>
      )}
      {rest.length > 0 && (
        <Folded title={`Tests that you did not do and that would not have told it: ${rest.length}`}>
          <ul className={styles.plainTests}>
            {rest.map((test) => (
              <li key={`${test.id} ${test.zone}`}>
                {test.title}
                <span className={pageStyles.soft}> {restInWords(test)}</span>
              </li>
            ))}
          </ul>
        </Folded>
      )}
    </section>
  )
}

function restInWords({ verdict, reason }: ToldTest): string {
  if (verdict === 'not possible') return reason === null ? 'not possible here' : `not possible here: ${reason}`
  return 'reads the same on a sound machine'
}

/** What not everybody wants to see: made when it is opened. */
function Folded({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  const [isOpen, setOpen] = useState(false)
  return (
    <details className={styles.more} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{title}</summary>
      {isOpen && children}
    </details>
  )
}

interface TestListProps extends ToldTestsProps {
  /** Every test of the debrief: its place there tells one from another of the same name. */
  readonly all: readonly ToldTest[]
}

function TestList({ tests, all, isOfOneZone }: TestListProps) {
  return tests.map((test) => {
    const number = all.indexOf(test) + 1
    return <Test key={number} test={test} number={number} isOfOneZone={isOfOneZone} />
  })
}

interface TestProps {
  readonly test: ToldTest
  readonly number: number
  readonly isOfOneZone: boolean
}

function Test({ test, number, isOfOneZone }: TestProps) {
  const { title, zone, deeds, seconds, reason } = test
  const readings = plainestFirst(test.readings)
  const more = readings.slice(MOST_READINGS)
  const named = `Readings of test ${number}: ${title}`
  return (
    <article className={styles.test} data-testid={`test-${test.id}`} data-verdict={test.verdict}>
      <header className={styles.testHead}>
        <h4 className={styles.testTitle}>{isOfOneZone ? title : `${title}; zone ${zone}`}</h4>
        <p className={deeds.length > 0 ? styles.testDone : pageStyles.soft}>
          {deeds.length === 0 ? 'You did not do it.' : `You did it: number ${deeds.join(', ')}.`}
        </p>
        <p className={pageStyles.soft}>
          {seconds === null ? 'Its time is not known.' : `${formatDuration(seconds)} with what it needs.`}
        </p>
      </header>
      {reason !== null && <p>{reason}</p>}
      {readings.length > 0 && <ReadingTable title={named} readings={readings.slice(0, MOST_READINGS)} />}
      {more.length > 0 && (
        <Folded title={`Its other readings: ${more.length}`}>
          <ReadingTable title={`Other readings of test ${number}: ${title}`} readings={more} />
        </Folded>
      )}
    </article>
  )
}

function ReadingTable({ title, readings }: { readonly title: string; readonly readings: readonly ComparedReading[] }) {
  const units = useUnits()
  return (
    <WideBox label={title}>
      <table className={`${pageStyles.table} ${styles.readings} ${stacked.stacked}`}>
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
              <td data-of="On this machine">
                {valueInWords({ value: reading.found, unit: reading.unit, u: null }, units)}
              </td>
              <td data-of="On a sound one">
                {valueInWords({ value: reading.sound, unit: reading.unit, u: null }, units)}
              </td>
              <td data-of="Difference ± U">
                {changeInWords(reading, units) ?? (reading.differs ? 'not the same' : 'the same')}
              </td>
              <td data-of="Tells">{reading.differs ? 'yes' : 'no'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </WideBox>
  )
}
