import type { Drift, ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { formatDay, formatDuration, formatNumber, formatTrimmed, NBSP } from '../../_ui/format.ts'
import rows from '../../_ui/live/JudgedRows.module.css'
import { JudgedRow } from '../../_ui/live/JudgedRows.tsx'
import { useUnits } from '../../_ui/units.tsx'
import type { Asked } from '../_model/use-asked.ts'
import shiftStyles from '../Shift.module.css'
import { ChartTrack } from './ChartTrack.tsx'
import styles from './Drifts.module.css'
import { judgedDrift, QUANTITY_WORDS } from './judged-drifts.ts'

interface DriftsProps {
  readonly asked: Asked<ShiftAnalysis>
  /** Why nothing was asked; null when it was. */
  readonly notAsked: string | null
  readonly onGo: (tMs: number) => void
}

/** What has moved since it was right: each drift apart, judged by the one rule. */
export function Drifts({ asked, notAsked, onGo }: DriftsProps) {
  const analysis = asked.value
  return (
    <section className={shiftStyles.section} aria-labelledby="moved" data-testid="drifts">
      <header className={shiftStyles.heading}>
        <h2 id="moved">What has moved</h2>
        {analysis !== null && <p className={shiftStyles.soft}>{restsOn(analysis)}</p>}
      </header>
      {asked.failure !== null && (
        <p className={shiftStyles.failure} role="alert">
          {asked.failure.message} {asked.failure.remedy}{' '}
          <button type="button" className="control" onClick={asked.again}>
            Ask again
          </button>
        </p>
      )}
      {analysis === null ? (
        <p className={styles.waiting}>{notAsked ?? (asked.failure === null ? 'Working out what has moved…' : '')}</p>
      ) : (
        <Found analysis={analysis} onGo={onGo} />
      )}
    </section>
  )
}

function restsOn({ minutes, steadiness, sourceSentence }: ShiftAnalysis): string {
  const what = `From ${minutes.judged} steady minutes of ${minutes.kept} kept, ${minutes.asked} asked.`
  const assumed =
    steadiness === 'assumed' ? ' Steadiness is assumed from the signals: confirm that the web ran steadily.' : ''
  return `${what}${assumed} ${sourceSentence}`
}

function Found({ analysis, onGo }: { readonly analysis: ShiftAnalysis; readonly onGo: (tMs: number) => void }) {
  return (
    <>
      <ul className={rows.rows}>
        {analysis.drifts.map((drift) => (
          <JudgedRow key={drift.quantity} judged={judgedDrift(drift)}>
            <Beside drift={drift} />
          </JudgedRow>
        ))}
      </ul>
      <div className={shiftStyles.pair}>
        <Steps analysis={analysis} onGo={onGo} />
        <Zero analysis={analysis} onGo={onGo} />
        <Charts analysis={analysis} />
        <Averaging analysis={analysis} />
      </div>
    </>
  )
}

/** Interval, forecast and trend test of a drift, under its row. */
function Beside({ drift }: { readonly drift: Drift }) {
  const units = useUnits()
  const { low, high, rate, forecast, trend } = drift
  const [from, to] = [low, high].map((end) => (end === null ? null : units.figure(end, rate.U, rate.unit)))
  const interval =
    from == null || to == null ? null : `95${NBSP}% interval ${from.value} to ${to.value}${NBSP}${to.unit}.`
  const test =
    trend === null
      ? null
      : `Trend test (Mann–Kendall, widened for autocorrelation): ${trend.p < 0.001 ? 'p under 0.001' : `p = ${formatTrimmed(trend.p)}`} from ${trend.n} values, worth ${formatTrimmed(Math.round(trend.effectiveN))} independent ones.`
  const ahead =
    forecast == null ? null : `Forecast of the ${QUANTITY_WORDS[drift.quantity]} itself: ${forecast.sentence}`
  const parts = [ahead, interval, test].filter((part) => part !== null)
  return parts.length === 0 ? false : <p className={styles.beside}>{parts.join(' ')}</p>
}

interface PartProps {
  readonly analysis: ShiftAnalysis
  readonly onGo: (tMs: number) => void
}

const clock = (tMs: number) => `${formatDay(tMs)} ${clockText(tMs, 60_000)}`

function Steps({ analysis, onGo }: PartProps) {
  return (
    <section className={styles.part} aria-label="Steps" data-testid="steps">
      <h3>Steps</h3>
      <p className={shiftStyles.soft}>A level that changed within a few minutes; told apart from drift.</p>
      {analysis.steps.length === 0 ? (
        <p>No step was found.</p>
      ) : (
        <ul>
          {analysis.steps.map((step) => (
            <li key={`${step.quantity} ${step.timeMs}`}>
              <button type="button" className={styles.go} onClick={() => onGo(step.timeMs)}>
                {clock(step.timeMs)}: {step.sentence}
                {step.revision !== null && ` Revision ${step.revision} came into force then.`}
              </button>
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}

function Zero({ analysis, onGo }: PartProps) {
  const units = useUnits()
  const { sides, waiting } = analysis.zero
  const points = sides.flatMap(({ side, points: own }) => own.map((point) => ({ side, ...point })))
  return (
    <section className={styles.part} aria-label="Zero track" data-testid="zero-track">
      <h3>Zero track</h3>
      <p className={shiftStyles.soft}>What each side read while the web was slack or stopped.</p>
      {waiting !== null && <p>{waiting}</p>}
      <ul>
        {points.map(({ side, fromMs, minutes, value, U }) => (
          <li key={`${side} ${fromMs}`}>
            <button type="button" className={styles.go} onClick={() => onGo(fromMs)}>
              {clock(fromMs)}, {QUANTITY_WORDS[`zero_${side}`]}: {units.figure(value, U, 'N').text}
              {U === null ? ' (one minute: no ± can be told)' : ''}, {minutes}
              {NBSP}min
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}

function Charts({ analysis }: { readonly analysis: ShiftAnalysis }) {
  return (
    <section className={styles.part} aria-label="Control charts" data-testid="control-charts">
      <h3>Control charts</h3>
      <p className={shiftStyles.soft}>They tell early that a level has moved; they are not limits.</p>
      {analysis.charts.length === 0 && <p>No chart yet.</p>}
      <ul className={styles.charts}>
        {analysis.charts.map((chart) => (
          <li key={`${chart.quantity} ${chart.kind}`}>
            <h4>
              {chart.kind === 'ewma' ? 'EWMA' : 'CUSUM'} of the {QUANTITY_WORDS[chart.quantity]}
            </h4>
            <p>{chart.sentence}</p>
            {chart.track !== null && chart.track.value.length > 1 && <ChartTrack chart={chart} track={chart.track} />}
            <p className={shiftStyles.soft}>
              Designed for {formatNumber(chart.designedFalsePerShift * 100, 1)}
              {NBSP}% false signals in 8{NBSP}h of steady running (mean run length{' '}
              {formatDuration(chart.designedRunLengthMinutes * 60)}).
            </p>
          </li>
        ))}
      </ul>
    </section>
  )
}

function Averaging({ analysis }: { readonly analysis: ShiftAnalysis }) {
  return (
    <section className={styles.part} aria-label="Averaging and what it moves with" data-testid="averaging">
      <h3>How long to average</h3>
      {analysis.allan.length === 0 && <p>Not told yet: it needs more steady minutes.</p>}
      <ul>
        {analysis.allan.map((one) => (
          <li key={one.quantity}>
            Of the {QUANTITY_WORDS[one.quantity]}: {one.sentence}
          </li>
        ))}
      </ul>
      <h3>What it moves with</h3>
      {analysis.correlations.length === 0 && <p>No relation with temperature or speed was worked out.</p>}
      <ul>
        {analysis.correlations.map((one) => (
          <li key={`${one.quantity} ${one.with}`}>
            {one.sentence} <span className={shiftStyles.soft}>{one.caveat}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}
