import { useEffect, useState } from 'react'
import { composeSummary } from '../../../lib/summary/compose.ts'
import { steadyStretches } from '../../../lib/summary/steady.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { stream, useHello } from '../../_stream/store.ts'
import { setQuery, useQuery } from '../../_ui/query.ts'
import { comparedSpan, comparisonOf, newestBaseline } from '../_model/comparison.ts'
import { follows, queryOf, type Span } from '../_model/shift-choice.ts'
import { useAnalysis } from '../_model/use-analysis.ts'
import { useAlarmsBefore, useBaselines, useEvents } from '../_model/use-events.ts'
import { useHistory } from '../_model/use-history.ts'
import { useShiftTimes } from '../_model/use-shift-times.ts'
import styles from './Summary.module.css'
import { SummarySheet } from './SummarySheet.tsx'

/** Rows that gaps are told by: of 8 h half a minute each. */
const POINTS = 1000

/** The shift on two sheets of paper. */
export function SummaryView({ zone }: { readonly zone: ZoneInfo }) {
  const hello = useHello()
  const times = useShiftTimes()
  const { shift } = times
  const of = `${zone.id} ${JSON.stringify(queryOf(times.choice))}`
  const history = useHistory(zone, of, shift, shift, POINTS)
  const [events, askedEvents] = useEvents(zone.id, of, shift)
  const alarmsBefore = useAlarmsBefore(zone.id, of, shift)
  const comparison = comparisonOf(useQuery('compare'))
  const baselines = useBaselines(zone.id)
  const compared = comparedSpan(comparison, newestBaseline(baselines.value ?? []))
  const analysis = useAnalysis(zone.id, of, shift, compared ?? shift)
  const noted = useMade(shift.toMs)
  // A followed shift grows while the sheet is looked at: nothing on it is newer.
  const madeMs = follows(times.choice) ? Math.max(noted, shift.toMs) : noted
  const isWhole =
    history.whole !== null && analysis.value !== null && askedEvents.value !== null && alarmsBefore.value !== null
  const failures = [history.failure, analysis.failure, askedEvents.failure, alarmsBefore.failure].filter(
    (failure) => failure !== null,
  )
  const summary = composeSummary({
    plant: hello?.zones.plant ?? null,
    line: hello?.zones.line ?? null,
    zone,
    fromMs: shift.fromMs,
    toMs: shift.toMs,
    madeMs,
    history: history.whole,
    analysis: analysis.value,
    isCompared: compared !== null,
    events,
    alarmsBefore: alarmsBefore.value ?? [],
  })
  return (
    <div className={styles.frame}>
      <div className={`${styles.actions} not-printed`}>
        <button type="button" className="control" onClick={() => setQuery('summary', null, 'push')}>
          Back to the shift
        </button>
        <button type="button" className="control" disabled={!isWhole} onClick={() => print()}>
          Print
        </button>
        <a className="control" href={jsonAddress(zone.id, shift, compared)} download={`${zone.id}-shift.json`}>
          Save as JSON
        </a>
      </div>
      {failures.map(({ code, message, remedy }) => (
        <p key={code + message} className={styles.missing} role="alert">
          Not on the sheet: {message} {remedy}
        </p>
      ))}
      {!isWhole && failures.length === 0 && <p className={styles.soft}>Putting the facts together…</p>}
      {(isWhole || failures.length > 0) && (
        <SummarySheet summary={summary} zone={zone} history={history.whole} steady={steadyStretches(analysis.value)} />
      )}
    </div>
  )
}

/** The same facts as the gateway puts them together. */
function jsonAddress(zone: string, shift: Span, compared: Span | null): string {
  const whole = ({ fromMs, toMs }: Span) => [String(Math.floor(fromMs)), String(Math.ceil(toMs))] as const
  const [from, to] = whole(shift)
  const query = new URLSearchParams({ from, to })
  if (compared !== null) {
    const [earlier, until] = whole(compared)
    query.set('baseline_from', earlier)
    query.set('baseline_to', until)
  }
  return `/api/zones/${encodeURIComponent(zone)}/summary?${query}`
}

/** When the facts on the sheet were put together: at its newest time, and again when it is printed. */
function useMade(toMs: number): number {
  const [madeMs, setMade] = useState(toMs)
  useEffect(() => {
    const note = () => setMade(stream().gatewayNow() ?? Date.now())
    note()
    addEventListener('beforeprint', note)
    return () => removeEventListener('beforeprint', note)
  }, [])
  return madeMs
}
