import { useId, useState } from 'react'
import type { ZoneSpectrum } from '../../../../shared/schemas/spectrum.ts'
import type { ZoneInfo } from '../../../../shared/schemas/zones.ts'
import { formatAge, formatDuration, formatNumber, formatTrimmed, NBSP } from '../../format.ts'
import { useRememberedFlag } from '../../remembered.ts'
import { sidesOf } from '../../sides.ts'
import type { Axis } from './frame.ts'
import { lineRows } from './line-rows.ts'
import styles from './Spectrum.module.css'
import { SpectrumLines } from './SpectrumLines.tsx'
import { SpectrumPlot } from './SpectrumPlot.tsx'
import { PAIRS, type Pair, type ShownSignal, SIGNALS, shownSignals, type ToldSignal, toldSignals } from './signals.ts'
import { type SpectrumSeen, useSpectrum } from './use-spectrum.ts'

const WINDOWS_S = [20, 60, 300, 600] as const

/** What the forces do at each frequency, and what could make it. Opened by the reader, because it costs. */
export function SpectrumPanel({ zone }: { readonly zone: ZoneInfo }) {
  const [isOpen, setOpen] = useRememberedFlag('evenpull.spectrum', false)
  const headingId = useId()
  const bodyId = useId()
  return (
    <section className={styles.panel} aria-labelledby={headingId} data-testid="spectrum">
      <div className={styles.head}>
        <h2 id={headingId}>Spectrum</h2>
        <button
          type="button"
          className="control not-printed"
          aria-expanded={isOpen}
          aria-controls={bodyId}
          onClick={() => setOpen(!isOpen)}
        >
          {isOpen ? 'Close the spectrum' : 'Open the spectrum'}
        </button>
      </div>
      <div id={bodyId}>{isOpen ? <OpenPanel key={zone.id} zone={zone} /> : <Closed />}</div>
    </section>
  )
}

function Closed() {
  return (
    <p className={styles.soft}>
      Lines in the forces, each with what could make it: turns of the rollers, the mains, the roller swinging on its
      cells.
    </p>
  )
}

function OpenPanel({ zone }: { readonly zone: ZoneInfo }) {
  const [seconds, setSeconds] = useState<number>(60)
  const [pair, setPair] = useState<Pair>('sides')
  const [axis, setAxis] = useState<Axis>('hertz')
  const seen = useSpectrum(zone.id, seconds)
  const { spectrum } = seen
  const shown = spectrum === null ? [] : shownSignals(spectrum, pair)
  const told = toldSignals(shown)
  const rows = lineRows(told)
  const turnHz = axisTurn(spectrum, told)
  const legend = spectrum === null ? PAIRS[pair].filter((one) => isOf(zone, one)) : shown.map(({ signal }) => signal)
  return (
    <div className={styles.body}>
      <div className={`${styles.toolbar} not-printed`}>
        <Choice
          legend="Window of time"
          options={WINDOWS_S.map((value) => [value, windowText(value)] as const)}
          value={seconds}
          onChoose={setSeconds}
        />
        {sidesOf(zone).length > 1 && (
          <Choice
            legend="Signals"
            options={[['sides', 'Both sides'] as const, ['both', 'Sum and difference'] as const]}
            value={pair}
            onChoose={setPair}
          />
        )}
        <Choice
          legend="Frequency in"
          options={[['hertz', 'Hz'] as const, ['turns', 'Turns'] as const]}
          value={axis}
          onChoose={setAxis}
        />
      </div>
      <p className={styles.status} data-testid="spectrum-status">
        {statusInWords(seen, told)}
      </p>
      <ul className={styles.legend} aria-label="Lines of the picture">
        {legend.map((signal) => (
          <li key={signal}>
            <svg viewBox="0 0 32 8" aria-hidden="true">
              <line
                x1="0"
                x2="32"
                y1="4"
                y2="4"
                stroke={SIGNALS[signal].color}
                strokeWidth="3"
                strokeDasharray={SIGNALS[signal].dash ?? undefined}
              />
            </svg>
            {SIGNALS[signal].name}
          </li>
        ))}
        <li>
          <svg viewBox="0 0 32 8" aria-hidden="true">
            <line className={styles.floor} x1="0" x2="32" y1="4" y2="4" stroke="currentColor" />
          </svg>
          its noise
        </li>
      </ul>
      <SpectrumPlot told={told} rows={rows} axis={axis} turnHz={turnHz} empty={emptyInWords(seen, shown)} />
      <p className={styles.axisNote}>{axisNote(axis, turnHz, spectrum)}</p>
      <SpectrumLines told={told} rows={rows} limit={spectrum?.falseAlarmLimit ?? 0.001} />
      <Notes spectrum={spectrum} shown={shown} />
    </div>
  )
}

/** Turns of the measuring roller a second, where an axis in them makes sense: steady, and slower than half the rate. */
function axisTurn(spectrum: ZoneSpectrum | null, told: readonly ToldSignal[]): number | null {
  const { state, turnHz } = spectrum?.speed ?? { state: 'unknown', turnHz: null }
  const rateHz = told[0]?.view.rateHz ?? 0
  return state === 'steady' && turnHz !== null && turnHz < rateHz / 2 ? turnHz : null
}

const isOf = (zone: ZoneInfo, signal: string): boolean =>
  signal !== 'single' ? sidesOf(zone).length > 1 : sidesOf(zone).length === 1

const windowText = (seconds: number): string => (seconds < 120 ? `${seconds}${NBSP}s` : `${seconds / 60}${NBSP}min`)

function Choice<T extends string | number>({
  legend,
  options,
  value,
  onChoose,
}: {
  readonly legend: string
  readonly options: readonly (readonly [T, string])[]
  readonly value: T
  readonly onChoose: (value: T) => void
}) {
  return (
    <fieldset className={styles.choice}>
      <legend className="heard-only">{legend}</legend>
      {options.map(([one, text]) => (
        <button key={one} type="button" className="control" aria-pressed={one === value} onClick={() => onChoose(one)}>
          {text}
        </button>
      ))}
    </fieldset>
  )
}

function statusInWords({ spectrum, age, failure }: SpectrumSeen, told: readonly ToldSignal[]): string {
  if (failure !== null) return `Not renewed: ${failure.message} ${failure.remedy}`
  const view = told[0]?.view
  if (spectrum === null || age === null || view === undefined) return 'Live.'
  const length = formatDuration((view.toMs - view.fromMs) / 1000)
  const newest = formatAge(age + (spectrum.timeMs - view.toMs) / 1000)
  return `Live: ${length} of samples, ${formatTrimmed(Number(view.rateHz.toPrecision(3)))} a second; the newest ${newest} old.`
}

function emptyInWords({ spectrum, failure }: SpectrumSeen, shown: readonly ShownSignal[]): string {
  if (spectrum === null)
    return failure === null ? 'Waiting for the spectrum.' : 'No spectrum: it would be too old to pass for that of now.'
  const sentences = shown.flatMap(({ signal, view }) =>
    view.state === 'waiting' ? [`${SIGNALS[signal].title}: ${lowerFirst(view.sentence)}`] : [],
  )
  return sentences.join(' ')
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1)

function axisNote(axis: Axis, turnHz: number | null, spectrum: ZoneSpectrum | null): string {
  if (axis === 'hertz') return 'Shaded: too slow to be told from a drift.'
  if (spectrum === null) return ''
  return turnHz === null
    ? 'Shown in Hz: the turns of the measuring roller are not known, not steady enough, or faster than half the sampling rate.'
    : `One turn of the measuring roller is ${formatNumber(turnHz, 3)}${NBSP}Hz.`
}

/** Speed, method, and what this spectrum cannot see. */
function Notes({
  spectrum,
  shown,
}: {
  readonly spectrum: ZoneSpectrum | null
  readonly shown: readonly ShownSignal[]
}) {
  if (spectrum === null) return null
  const [first, ...others] = spectrum.cannotSee
  const sentences = new Set(
    shown.map(({ signal, view }) =>
      view.state === 'told' ? view.sentence : `${SIGNALS[signal].title}: ${lowerFirst(view.sentence)}`,
    ),
  )
  return (
    <div className={styles.notes} data-testid="spectrum-notes">
      <p>{spectrum.speed.sentence}</p>
      {[...sentences].map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {first !== undefined && <p>{first}</p>}
      {others.length > 0 && (
        <details className={styles.more}>
          <summary>What else it cannot see</summary>
          <ul>
            {others.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
        </details>
      )}
    </div>
  )
}
