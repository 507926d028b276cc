import Link from 'next/link'
import type { NextTest } from '../../shared/schemas/diagnosis.ts'
import styles from './Diagnosis.module.css'

const MOST = 3

interface NextTestsProps {
  readonly tests: readonly NextTest[]
  readonly zone: string
  readonly record: string | null
}

/** The test that would separate the leaders best for its cost, and two more. */
export function NextTests({ tests, zone, record }: NextTestsProps) {
  const [first, ...more] = tests.slice(0, MOST)
  return (
    <section className={styles.block} aria-labelledby="next">
      <h2 id="next">What to test next</h2>
      {first === undefined ? (
        <p>No test would tell more than is known.</p>
      ) : (
        <>
          <TestCard test={first} zone={zone} record={record} isFirst />
          {more.map((test) => (
            <TestCard key={test.test} test={test} zone={zone} record={record} isFirst={false} />
          ))}
        </>
      )}
    </section>
  )
}

interface CardProps {
  readonly test: NextTest
  readonly zone: string
  readonly record: string | null
  readonly isFirst: boolean
}

function TestCard({ test, zone, record, isFirst }: CardProps) {
  const query = new URLSearchParams({ zone, ...(record === null ? {} : { record, test: test.test }) })
  return (
    <div
      className={isFirst ? styles.first : styles.card}
      data-testid={isFirst ? 'next-test' : undefined}
      data-test={test.test}
    >
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
