import type { Stretch } from '../../../lib/summary/steady.ts'
import { unitsWords } from '../../../lib/summary/units-words.ts'
import type { StoredEvent } from '../../../shared/schemas/events.ts'
import { isTyped } from '../../../shared/schemas/events.ts'
import type { ZoneHistory } from '../../../shared/schemas/history.ts'
import type { ShiftSummary, SummaryGap } from '../../../shared/schemas/shift-summary.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { typed } from '../../_language/current.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { formatClock, formatDay, formatDuration, formatNumber, NBSP } from '../../_ui/format.ts'
import { SIDES } from '../../_ui/sides.ts'
import { type Units, useUnits } from '../../_ui/units.tsx'
import { limitInWords, VERDICT_WORDS } from '../../_ui/verdict-words.ts'
import { WideBox } from '../../_ui/WideBox.tsx'
import { COMPARED_WORDS, STATE_WORDS } from '../_compare/compared-words.ts'
import { judgedDrift } from '../_drift/judged-drifts.ts'
import styles from './Summary.module.css'
import { SummaryPlot } from './SummaryPlot.tsx'
import { alarmsOnPaper, clipped, limited, periodsInWords } from './sheet-words.ts'

interface SummarySheetProps {
  readonly summary: ShiftSummary
  readonly zone: ZoneInfo
  readonly history: ZoneHistory | null
  readonly steady: readonly Stretch[]
}

/** Lines of each list that two sheets have room for; what is left out is counted. */
const MOST = { standing: 6, alarms: 12, notes: 8, happened: 10, gaps: 6, steps: 4, changes: 12 } as const

/** The facts of a shift as they stand on paper. */
export function SummarySheet({ summary, zone, history, steady }: SummarySheetProps) {
  const { choice } = useUnits()
  return (
    <article className={styles.sheet} data-testid="summary">
      <header className={styles.head}>
        <h1>Shift summary: {summary.zone.name}</h1>
        <p>
          {[summary.plant, summary.line].filter((name) => name !== null).join(' · ') || 'Plant and line not named'} ·{' '}
          {when(summary.fromMs)} to {when(summary.toMs)} (
          {formatDuration(Math.round((summary.toMs - summary.fromMs) / 1000))})
        </p>
        <p className={styles.soft} data-testid="summary-units">
          {unitsWords(choice)}
        </p>
      </header>
      <Facts summary={summary} />
      {history !== null && (
        <SummaryPlot history={history} zone={zone} fromMs={summary.fromMs} toMs={summary.toMs} steady={steady} />
      )}
      <Tensions summary={summary} />
      <DriftTable summary={summary} />
      <Compared summary={summary} />
      <Alarms summary={summary} />
      <Events title="Notes" events={summary.notes} most={MOST.notes} none="Nothing was noted." testId="summary-notes" />
      <Gaps summary={summary} />
      <Events
        title="Also happened"
        events={summary.happened}
        most={MOST.happened}
        none="Nothing else."
        testId="summary-happened"
      />
      <footer className={styles.foot}>
        <p className={styles.signature}>
          <span>Handed over by</span>
          <span>Taken over by</span>
          <span>Date, time</span>
        </p>
        <p>
          <strong>{summary.sentence}</strong> Put together {when(summary.madeMs)}.
        </p>
      </footer>
    </article>
  )
}

const when = (tMs: number): string => `${formatDay(tMs)} ${formatClock(tMs)}`

function Facts({ summary }: { readonly summary: ShiftSummary }) {
  const { revisions, steadiness, recording } = summary
  return (
    <dl className={styles.facts}>
      <dt>Config in force</dt>
      <dd>
        {revisions.length === 0
          ? 'not known'
          : revisions
              .map(({ revision, timeMs }, i) => (i === 0 ? revision : `${revision} from ${when(timeMs)}`))
              .join('; ')}
      </dd>
      <dt>The zone was</dt>
      <dd>{periodsInWords(steadiness.minutes)}</dd>
      <dt>Judged on</dt>
      <dd>
        {steadiness.judged} of {steadiness.asked} minutes
        {steadiness.state === 'assumed' && '; steadiness is assumed from the signals, no channel tells it'}
        {steadiness.state === 'none' && ': there was no steady running'}
        {steadiness.state === 'unknown' && ': the minutes could not be had'}. {recording.sentence ?? ''}
      </dd>
    </dl>
  )
}

function Tensions({ summary }: { readonly summary: ShiftSummary }) {
  const units = useUnits()
  return (
    <section>
      <h2>In steady running</h2>
      <WideBox label="Means in steady running">
        <table className={styles.table}>
          <thead>
            <tr>
              <th scope="col">Figure</th>
              <th scope="col">Mean ± about 95 %</th>
              <th scope="col">Lowest to highest sample</th>
              <th scope="col">From</th>
            </tr>
          </thead>
          <tbody>
            {summary.means.map(({ what, unit, value, U, minutes }) => (
              <tr key={what}>
                <th scope="row">{COMPARED_WORDS[what]}</th>
                <td>{units.figure(value, U, unit).text}</td>
                <td />
                <td>
                  {minutes}
                  {NBSP}min
                </td>
              </tr>
            ))}
            {summary.sides.map(({ side, mean, lo, hi, samples }) => (
              <tr key={side}>
                <th scope="row">Force along the arrow, {SIDES[side].name}</th>
                <td>{units.figure(mean, null, 'N').text}, ± not told</td>
                <td>
                  {units.figure(lo, null, 'N').value} to {units.figure(hi, null, 'N').text}
                </td>
                <td>
                  {formatNumber(samples, 0)}
                  {NBSP}samples
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideBox>
      {summary.means.length + summary.sides.length === 0 && <p>There was no steady running to tell a mean of.</p>}
    </section>
  )
}

function DriftTable({ summary }: { readonly summary: ShiftSummary }) {
  const units = useUnits()
  const steps = limited(summary.steps, MOST.steps)
  return (
    <section>
      <h2>Drift</h2>
      <WideBox label="Drift">
        <table className={styles.table} data-testid="summary-drifts">
          <thead>
            <tr>
              <th scope="col">Figure</th>
              <th scope="col">Rate</th>
              <th scope="col">Limit</th>
              <th scope="col">Verdict</th>
            </tr>
          </thead>
          <tbody>
            {summary.drifts.map((drift) => {
              const { rate } = drift
              return (
                <tr key={drift.quantity}>
                  <th scope="row">{judgedDrift(drift).title}</th>
                  <td>{rate.value === null ? 'no value' : units.figure(rate.value, rate.U, rate.unit).text}</td>
                  <td>{limitInWords(rate, units, false) ?? 'none'}</td>
                  <td>
                    <strong>{VERDICT_WORDS[rate.verdict.state]}</strong>
                    {rate.value === null
                      ? ` ${rate.waiting ?? ''}`
                      : drift.forecast === null
                        ? ''
                        : ` ${drift.forecast.sentence}`}
                  </td>
                </tr>
              )
            })}
          </tbody>
        </table>
      </WideBox>
      {summary.drifts.length === 0 && <p>No drift was worked out.</p>}
      <ul>
        {steps.shown.map((step) => (
          <li key={`${step.quantity} ${step.timeMs}`}>
            Step at {when(step.timeMs)}: {step.sentence}
          </li>
        ))}
      </ul>
      <More count={steps.more} />
    </section>
  )
}

function Compared({ summary }: { readonly summary: ShiftSummary }) {
  const units = useUnits()
  if (summary.compared === null) return null
  const { fromMs, toMs, changes } = summary.compared
  const { shown, more } = limited(
    changes.toSorted((a, b) => Number(b.state === 'changed') - Number(a.state === 'changed')),
    MOST.changes,
  )
  return (
    <section data-testid="summary-compared">
      <h2>
        Against {when(fromMs)} to {when(toMs)}
      </h2>
      <ul className={styles.columns}>
        {shown.map(({ what, state, difference, unit }) => (
          <li key={what}>
            {COMPARED_WORDS[what]}: <strong>{STATE_WORDS[state]}</strong>
            {difference !== null && ` (${signed(difference.value, difference.U, unit, units)})`}
          </li>
        ))}
      </ul>
      <More count={more} />
    </section>
  )
}

const signed = (value: number, U: number, unit: string, units: Units): string =>
  `${value > 0 ? '+' : ''}${units.difference(value, U, unit).text}`

interface EventsProps {
  readonly title: string
  readonly events: readonly StoredEvent[]
  readonly most: number
  readonly none: string
  readonly testId: string
}

function Events({ title, events, most, none, testId }: EventsProps) {
  // Of too many the newest are told: they hand over.
  const { shown, more } = limited(events.toReversed(), most)
  return (
    <section data-testid={testId}>
      <h2>{title}</h2>
      {events.length === 0 ? (
        <p>{none}</p>
      ) : (
        <ul>
          {shown.toReversed().map((event) => (
            <li key={event.id}>
              {when(event.timeMs)} {isTyped(event.kind) ? typed(clipped(event.text)) : clipped(event.text)}
              {event.who !== null && <span className={styles.soft}> {typed(event.who)}</span>}
            </li>
          ))}
        </ul>
      )}
      <More count={more} />
    </section>
  )
}

function Alarms({ summary }: { readonly summary: ShiftSummary }) {
  const { told, ofData } = alarmsOnPaper(summary.alarms)
  return (
    <>
      {summary.standing.length > 0 && (
        <Events
          title="Alarms that were active when the shift began"
          events={summary.standing}
          most={MOST.standing}
          none=""
          testId="summary-standing"
        />
      )}
      <Events
        title="Alarms"
        events={told}
        most={MOST.alarms}
        none="No alarm was announced, returned or acknowledged."
        testId="summary-alarms"
      />
      {ofData > 0 && (
        <p className={styles.soft}>
          Beside these, {formatNumber(ofData, 0)} times an alarm lost its data or had them back.
        </p>
      )}
    </>
  )
}

function Gaps({ summary }: { readonly summary: ShiftSummary }) {
  const { gaps, rowMs } = summary.recording
  const longest = gaps.toSorted((a, b) => b.toMs - b.fromMs - (a.toMs - a.fromMs))
  const { shown, more } = limited(longest, MOST.gaps)
  return (
    <section data-testid="summary-gaps">
      <h2>Gaps in the recording</h2>
      {gaps.length === 0 ? (
        <p>None of {formatDuration(Math.max(1, rowMs / 1000))} or longer.</p>
      ) : (
        <ul className={styles.columns}>
          {shown
            .toSorted((a, b) => a.fromMs - b.fromMs)
            .map((gap) => (
              <li key={`${gap.fromMs} ${gap.sides.join()}`}>{gapInWords(gap)}</li>
            ))}
        </ul>
      )}
      <More count={more} />
    </section>
  )
}

function gapInWords({ fromMs, toMs, sides }: SummaryGap): string {
  const names = sides.map((side) => SIDES[side].name).join(' and ')
  return `${when(fromMs)} to ${clockText(toMs, 1000)}, ${formatDuration((toMs - fromMs) / 1000)}: ${names}`
}

function More({ count }: { readonly count: number }) {
  return count === 0 ? null : <p className={styles.soft}>and {formatNumber(count, 0)} more, on the Shift page.</p>
}
