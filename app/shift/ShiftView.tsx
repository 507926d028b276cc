'use client'

import { useHello } from '../_stream/store.ts'
import { useQuery } from '../_ui/query.ts'
import { useZoneChoice } from '../_ui/zone-choice.ts'
import { SummaryView } from './_summary/SummaryView.tsx'
import styles from './Shift.module.css'
import { ShiftOfZone } from './ShiftOfZone.tsx'

/** What has moved since it was right? */
export function ShiftView() {
  const hello = useHello()
  const { zone, unknownId } = useZoneChoice()
  const isSummary = useQuery('summary') === '1'
  if (zone === null || hello === null)
    return (
      <div className={styles.empty}>
        <h1>{unknownId !== null ? `There is no zone “${unknownId}”` : 'Shift'}</h1>
        <p>{adviceFor(hello !== null, unknownId)}</p>
      </div>
    )
  const owner = [hello.zones.plant, hello.zones.line].filter((name) => name != null).join(' · ')
  if (isSummary) return <SummaryView key={zone.id} zone={zone} />
  return <ShiftOfZone key={`${zone.id} ${owner}`} zone={zone} owner={owner} />
}

function adviceFor(isGreeted: boolean, unknownId: string | null): string {
  if (unknownId !== null) return 'Choose one of the zones above, or check the address.'
  return isGreeted
    ? 'No zone is set up: name the two cells of a measuring roller under zones in the config.'
    : 'Waiting for the gateway: the shift appears here as soon as it answers.'
}
