import Link from 'next/link'
import type { Diagnosis, NextTest } from '../../shared/schemas/diagnosis.ts'
import styles from './Diagnosis.module.css'

const MOST = 3

interface NextTestsProps {
  readonly tests: readonly NextTest[]
  /** Once a cause counts as found: what would show a second one. */
  readonly more: Diagnosis['more']
  readonly zone: string
  readonly record: string | null
}

/** The test that would separate the leaders best for its cost, and two more; then what would show a second cause. */
export function NextTests({ tests, more, zone, record }: NextTestsProps) {
  const card = (test: NextTest, kind: CardProps['kind']) => (
    <TestCard key={test.test} test={test} zone={zone} record={record} kind={kind} />
  )
  const shown = tests.slice(0, MOST)
  const further = more?.tests.filter(({ test }) => !shown.some((one) => one.test === test)).slice(0, MOST) ?? []
  return (
    <section className={styles.block} aria-labelledby="next">
      <h2 id="next">What to test next</h2>
      {tests.length === 0 && (
        <p>
          {more === null
            ? 'No test would tell more than is known.'
            : 'No test would tell more about the likeliest cause.'}
        </p>
      )}
      {shown.map((test, i) => card(test, i === 0 ? 'first' : 'further'))}
      {more !== null && (
        <>
          <p className={styles.note} data-testid="more">
            {more.sentence}
          </p>
          {further.map((test, i) => card(test, i === 0 ? 'more' : 'further'))}
        </>
      )}
    </section>
  )
}

const TEST_IDS = { first: 'next-test', more: 'more-test', further: undefined } as const

interface CardProps {
  readonly test: NextTest
  readonly zone: string
  readonly record: string | null
  /** The first about the cause, the first about a second one, or one of the others. */
  readonly kind: 'first' | 'more' | 'further'
}

function TestCard({ test, zone, record, kind }: CardProps) {
  const query = new URLSearchParams({ zone, ...(record === null ? {} : { record, test: test.test }) })
  return (
    <div className={kind === 'first' ? styles.first : styles.card} data-testid={TEST_IDS[kind]} data-test={test.test}>
      <h3>{test.title}</h3>
      <p>{test.sentence}</p>
      {test.caution !== null && <p className={styles.caution}>{test.caution}</p>}
      <p>
        <Link className="control" prefetch={false} href={`/verification?${query}`}>
          {record === null ? 'To the verification' : 'Make this test'}
        </Link>
      </p>
    </div>
  )
}
