'use client'

import { useHello } from '../_stream/store.ts'
import { useQuery } from '../_ui/query.ts'
import { useZoneChoice } from '../_ui/zone-choice.ts'
import { RecordList } from './_record/RecordList.tsx'
import { RecordView } from './_record/RecordView.tsx'
import styles from './Verification.module.css'

/** Is the install proven? */
export function VerificationView() {
  const hello = useHello()
  const { zone, unknownId } = useZoneChoice()
  const record = useQuery('record')
  if (zone === null)
    return (
      <div className={styles.empty}>
        <h1>{unknownId === null ? 'Verification' : `There is no zone “${unknownId}”`}</h1>
        <p>
          {hello === null
            ? 'Waiting for the gateway: the records appear here as soon as it answers.'
            : 'Choose one of the zones above, or name the two cells of a measuring roller in the config.'}
        </p>
      </div>
    )
  return record === null ? (
    <RecordList key={zone.id} zone={zone} />
  ) : (
    <RecordView key={record} id={record} zone={zone} />
  )
}
