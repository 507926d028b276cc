'use client'

import type { ZoneDiagnosis } from '../../shared/schemas/zone-diagnosis.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { typed } from '../_language/current.ts'
import { useHello } from '../_stream/store.ts'
import { formatClock } from '../_ui/format.ts'
import { useQuery } from '../_ui/query.ts'
import { useZoneChoice } from '../_ui/zone-choice.ts'
import { CauseList } from './CauseList.tsx'
import styles from './Diagnosis.module.css'
import { NextTests } from './NextTests.tsx'
import { ReadingList, ThresholdList } from './Readings.tsx'
import { useDiagnosis } from './use-diagnosis.ts'

/** What is the cause, and what to test next? */
export function DiagnosisView() {
  const hello = useHello()
  const { zone, unknownId } = useZoneChoice()
  if (zone !== null) return <DiagnosisOf key={zone.id} zone={zone} />
  return (
    <div className={styles.empty}>
      <h1>{unknownId === null ? 'Diagnosis' : `There is no zone “${unknownId}”`}</h1>
      <p>{hello === null ? 'Waiting for the gateway.' : 'Choose one of the zones above.'}</p>
    </div>
  )
}

function DiagnosisOf({ zone }: { readonly zone: ZoneInfo }) {
  const record = useQuery('record')
  const { told, failure, again } = useDiagnosis(zone.id, record)
  return (
    <div className={styles.page} data-testid="diagnosis" data-state={told?.diagnosis.state ?? 'waiting'}>
      <h1>Diagnosis: {zone.name}</h1>
      {failure !== null && (
        <p className={styles.failure} data-testid="diagnosis-failure">
          {failure}
        </p>
      )}
      {told === null ? (
        <p className={styles.waiting}>{failure === null ? 'Weighing what is known.' : 'No answer yet.'}</p>
      ) : (
        <Told told={told} again={again} />
      )}
    </div>
  )
}

function Told({ told, again }: { readonly told: ZoneDiagnosis; readonly again: () => void }) {
  const { diagnosis, record, features, timeMs } = told
  return (
    <>
      <section className={styles.verdict} aria-label="What it comes to">
        <p className={styles.sentence} data-testid="diagnosis-sentence">
          {diagnosis.sentence}
        </p>
        <p className={styles.soft}>
          From {features.length} {features.length === 1 ? 'reading' : 'readings'}: {sourcesOf(record)}; as of{' '}
          {formatClock(timeMs)}. A probability is what the readings and the priors leave, not a certainty; the causes
          are those of the fault table.
        </p>
        <button type="button" className="control" onClick={again}>
          Weigh again
        </button>
      </section>
      <NextTests tests={diagnosis.nextTests} more={diagnosis.more} zone={told.zone} record={record?.id ?? null} />
      <CauseList diagnosis={diagnosis} />
      <ReadingList features={features} />
      <ThresholdList thresholds={diagnosis.thresholds} />
    </>
  )
}

function sourcesOf(record: ZoneDiagnosis['record']): string {
  if (record === null) return 'what runs now'
  return record.alone
    ? `the signed record “${typed(record.title)}” alone`
    : `what runs now, and the record “${typed(record.title)}”`
}
