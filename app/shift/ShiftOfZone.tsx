import { useCallback, useMemo, useState } from 'react'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { stream } from '../_stream/store.ts'
import { setQuery, useQuery } from '../_ui/query.ts'
import { useUnits } from '../_ui/units.tsx'
import { AlarmList } from './_alarms/AlarmList.tsx'
import { BaselineForm } from './_compare/BaselineForm.tsx'
import { ComparePanel } from './_compare/ComparePanel.tsx'
import { Drifts } from './_drift/Drifts.tsx'
import { EventTable } from './_events/EventTable.tsx'
import { ExportPanel } from './_export/ExportPanel.tsx'
import { type AxisFlag, flagsOf } from './_model/axis-flags.ts'
import { bandsOf } from './_model/bands.ts'
import { comparedSpan, comparisonOf, comparisonQuery, newestBaseline } from './_model/comparison.ts'
import { queryOf } from './_model/shift-choice.ts'
import { tooLong, useAnalysis } from './_model/use-analysis.ts'
import { useEarlier } from './_model/use-earlier.ts'
import { useBaselines, useEvents } from './_model/use-events.ts'
import { useHistory } from './_model/use-history.ts'
import { useShiftTimes } from './_model/use-shift-times.ts'
import { zoomTo } from './_model/zoom.ts'
import { NoteForm } from './_notes/NoteForm.tsx'
import { useNotes } from './_notes/use-notes.ts'
import { Bands } from './_plot/Bands.tsx'
import { Chooser, shiftInWords, usePattern } from './Chooser.tsx'
import { NothingThere } from './NothingThere.tsx'
import styles from './Shift.module.css'

/** Answers are asked for in so many rows: a pixel each, in steps, so that a page that is drawn wider asks no more often. */
const POINTS_STEP = 100
const MOST_POINTS = 2000

const pointsFor = (widthPx: number): number =>
  widthPx <= 0 ? 0 : Math.min(MOST_POINTS, Math.max(POINTS_STEP, Math.ceil(widthPx / POINTS_STEP) * POINTS_STEP))

/** One zone over one shift. */
export function ShiftOfZone({ zone, owner }: { readonly zone: ZoneInfo; readonly owner: string }) {
  const { choice: units } = useUnits()
  const times = useShiftTimes()
  const { pattern } = usePattern()
  const [points, setPoints] = useState(0)
  const of = `${zone.id} ${JSON.stringify(queryOf(times.choice))}`
  const history = useHistory(zone, of, times.shift, times.shown, points)
  const [events, askedEvents] = useEvents(zone.id, of, times.shift)

  const comparison = comparisonOf(useQuery('compare'))
  const baselines = useBaselines(zone.id)
  const baseline = newestBaseline(baselines.value ?? [])
  const compared = comparedSpan(comparison, baseline)
  const earlier = useEarlier(zone, of, compared, times.shift, times.shown, points)
  const analysis = useAnalysis(zone.id, of, times.shift, compared)

  const notes = useNotes(zone.id, owner, askedEvents.again)
  const [note, setNote] = useState<{ atMs: number | null; asked: number }>({ atMs: null, asked: 0 })
  const beginNote = useCallback((tMs: number) => setNote(({ asked }) => ({ atMs: tMs, asked: asked + 1 })), [])

  const bands = useMemo(() => bandsOf(zone, units), [zone, units])
  const flags = useMemo((): readonly AxisFlag[] => {
    const waiting = notes.waiting.map(
      ({ key, timeMs, text, who }): AxisFlag => ({
        key,
        kind: 'note',
        timeMs,
        text: `${text} (not recorded yet)`,
        who,
      }),
    )
    return [...flagsOf(history.whole, events), ...waiting].sort((a, b) => a.timeMs - b.timeMs)
  }, [history.whole, events, notes.waiting])

  const goTo = (tMs: number) => {
    times.zoomWith((shift, zoom) => {
      const half = Math.min(zoom === null ? 600_000 : (zoom.toMs - zoom.fromMs) / 2, (shift.toMs - shift.fromMs) / 2)
      return zoomTo(shift, tMs - half, tMs + half)
    })
    document.querySelector<HTMLElement>('[data-testid="shift-stage"]')?.focus()
  }
  return (
    <div className={styles.shift} data-testid="shift">
      <div className={styles.title}>
        <h1>Shift: {zone.name}</h1>
        <p className={styles.when} data-testid="shift-when">
          {shiftInWords(times)}
        </p>
      </div>
      <Chooser times={times} />
      <NothingThere history={history.whole} times={times} />
      <Bands
        zone={zone}
        bands={bands}
        times={times}
        history={history}
        earlier={earlier.rows}
        analysis={analysis.value}
        flags={flags}
        onWidth={(px) => setPoints(pointsFor(px))}
        onNote={beginNote}
      />
      <NoteForm
        zone={zone.id}
        notes={notes}
        atMs={note.atMs}
        asked={note.asked}
        onNow={() => setNote(({ asked }) => ({ atMs: null, asked }))}
        nowMs={() => stream().gatewayNow() ?? Date.now()}
      />
      <div className={`${styles.tools} not-printed`}>
        <button
          type="button"
          className="control"
          onClick={() => setQuery('summary', '1', 'push')}
          data-testid="open-summary"
        >
          Shift summary to print
        </button>
      </div>
      <Drifts asked={analysis} notAsked={tooLong(times.shift)} onGo={goTo} />
      <ComparePanel
        shift={times.shift}
        pattern={pattern}
        comparison={comparison}
        baseline={baseline}
        analysis={analysis.value}
        failure={
          earlier.asked.failure === null ? null : `${earlier.asked.failure.message} ${earlier.asked.failure.remedy}`
        }
        onCompare={(next) => setQuery('compare', comparisonQuery(next), 'push')}
      />
      <BaselineForm
        zone={zone.id}
        shown={times.shown}
        onNamed={() => {
          baselines.again()
          askedEvents.again()
        }}
      />
      <section className={`${styles.section} not-printed`} aria-labelledby="samples-away">
        <h2 id="samples-away">Take the samples away</h2>
        <ExportPanel
          zoneId={zone.id}
          fromMs={times.shown.fromMs}
          toMs={times.shown.toMs}
          what={times.zoom === null ? 'the whole shift above' : 'the stretch shown above'}
        />
      </section>
      <section className={styles.section} aria-labelledby="alarms-of-zone">
        <h2 id="alarms-of-zone">Alarms of this zone</h2>
        <AlarmList zone={zone.id} />
      </section>
      <section className={styles.section} aria-labelledby="happened" data-testid="events">
        <h2 id="happened">What happened</h2>
        {askedEvents.failure !== null && (
          <p className={styles.failure} role="alert">
            {askedEvents.failure.message} {askedEvents.failure.remedy}{' '}
            <button type="button" className="control" onClick={askedEvents.again}>
              Ask again
            </button>
          </p>
        )}
        {askedEvents.value !== null && <EventTable events={events} onGo={goTo} />}
      </section>
    </div>
  )
}
