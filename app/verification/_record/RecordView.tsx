import Link from 'next/link'
import type { PlanStage, PlanTest } from '../../../shared/schemas/verification/plan.ts'
import type { VerificationRecord } from '../../../shared/schemas/verification.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { RoleGate } from '../../_ui/access/RoleGate.tsx'
import { useSignature } from '../../_ui/access/signature.ts'
import { formatDay } from '../../_ui/format.ts'
import { setQuery, useQuery } from '../../_ui/query.ts'
import { ComparePanel, useEarlier } from '../_compare/ComparePanel.tsx'
import { useDraftsStored } from '../_model/draft-store.ts'
import { isTouched, stateOf } from '../_model/test-state.ts'
import { type RecordState, useRecord } from '../_model/use-record.ts'
import { TestPanel } from '../_test/TestPanel.tsx'
import styles from '../Verification.module.css'
import { ReportLink } from './ReportLink.tsx'
import { SignForm } from './SignForm.tsx'
import { StateMark } from './StateMark.tsx'
import { WaitingList } from './WaitingList.tsx'

/** One record: its stages on one side, the test that is open on the other. */
export function RecordView({ id, zone }: { readonly id: string; readonly zone: ZoneInfo }) {
  const state = useRecord(id)
  const { record, failure } = state
  const areDraftsStored = useDraftsStored()
  if (record === null)
    return (
      <div className={styles.page}>
        <BackButton />
        <h1>Verification record</h1>
        <p className={failure === null ? undefined : styles.failure}>{failure ?? 'Reading the record.'}</p>
      </div>
    )
  return (
    <div className={styles.page} data-testid="verification-record" data-signed={record.signed}>
      <BackButton />
      <RecordHead record={record} />
      {failure !== null && <p className={styles.failure}>Not followed just now: {failure}</p>}
      {!areDraftsStored && (
        <p className={styles.failure} role="alert">
          This browser keeps no more than this page does: what is typed and captured is lost if the page is closed
          before it is in the record.
        </p>
      )}
      <WaitingList state={state} plan={record.head.plan} />
      <RecordBody state={state} record={record} zone={zone} />
    </div>
  )
}

function BackButton() {
  return (
    <button
      type="button"
      className={styles.back}
      onClick={() => {
        setQuery('test', null, 'replace')
        setQuery('compare', null, 'replace')
        setQuery('record', null, 'push')
      }}
    >
      All records
    </button>
  )
}

function RecordHead({ record }: { readonly record: VerificationRecord }) {
  const { head, entries, digest, signed } = record
  const query = new URLSearchParams({ zone: head.zone, record: head.id })
  const earlier = useEarlier()
  return (
    <header className={styles.head}>
      <h1 translate="no">{head.title}</h1>
      <p className={styles.soft}>
        {head.zoneName}, begun {formatDay(head.begunMs)} by {head.begunBy}; {entries.length}{' '}
        {entries.length === 1 ? 'entry' : 'entries'}; {signed ? 'signed' : 'open'}; digest{' '}
        <span className={styles.digest}>{digest.slice(0, 16)}</span>
      </p>
      <div className={styles.links}>
        <ReportLink record={head.id} earlier={earlier} />
        <Link className="control" prefetch={false} href={`/diagnosis?${query}`} data-testid="diagnosis-link">
          Diagnosis
        </Link>
      </div>
    </header>
  )
}

interface BodyProps {
  readonly state: RecordState
  readonly record: VerificationRecord
  readonly zone: ZoneInfo
}

function RecordBody({ state, record, zone }: BodyProps) {
  const signature = useSignature()
  const { stages } = record.head.plan
  const tests = stages.flatMap((stage) => stage.tests.map((test) => ({ stage, test })))
  const wanted = useQuery('test')
  const open = tests.find(({ test }) => test.id === wanted) ?? null
  return (
    <div className={styles.body} data-open={open !== null}>
      <nav className={styles.stages} aria-label="Tests">
        {stages.map((stage) => (
          <Stage key={stage.id} stage={stage} record={record} openId={open?.test.id ?? null} />
        ))}
        <RoleGate needs="operate">
          <SignForm record={record} add={state.add} signature={signature} />
        </RoleGate>
      </nav>
      <div className={styles.test}>
        {open === null ? (
          <div className={styles.overview}>
            <p className={styles.soft}>
              Choose a test. They need no order, but a later stage rests on the ones before it.
            </p>
            <ComparePanel record={record} />
          </div>
        ) : (
          <TestPanel
            key={open.test.id}
            stage={open.stage}
            test={open.test}
            record={record}
            zone={zone}
            add={state.add}
            signature={signature}
          />
        )}
      </div>
    </div>
  )
}

interface StageProps {
  readonly stage: PlanStage
  readonly record: VerificationRecord
  readonly openId: string | null
}

function Stage({ stage, record, openId }: StageProps) {
  const asked = stage.tests.filter(({ applies }) => applies)
  const answered = asked.filter((test) => isTouched(test, record.entries)).length
  return (
    <section className={styles.stage} aria-labelledby={`stage-${stage.id}`}>
      <h2 id={`stage-${stage.id}`}>
        {stage.title}{' '}
        <span className={styles.soft}>
          {answered} of {asked.length} answered
        </span>
      </h2>
      <p className={styles.machine}>{stage.machine}</p>
      <ul>
        {stage.tests.map((test) => (
          <TestRow key={test.id} test={test} record={record} isOpen={test.id === openId} />
        ))}
      </ul>
    </section>
  )
}

function TestRow({
  test,
  record,
  isOpen,
}: {
  readonly test: PlanTest
  readonly record: VerificationRecord
  readonly isOpen: boolean
}) {
  const state = stateOf(test, record.entries)
  return (
    <li>
      <button
        type="button"
        className={styles.row}
        aria-current={isOpen ? 'true' : undefined}
        data-testid={`test-${test.id}`}
        data-state={state}
        onClick={() => setQuery('test', test.id, 'push')}
      >
        <span>{test.title}</span>
        <StateMark state={state} />
      </button>
    </li>
  )
}
