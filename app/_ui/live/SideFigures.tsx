'use client'

import { qualityOf } from '../../../shared/quality.ts'
import type { Side } from '../../../shared/sample.ts'
import type { Figure, Live, SideNow } from '../../../shared/schemas/now.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import { useAge } from '../../_stream/age.ts'
import { useLastGood } from '../../_stream/store.ts'
import { formatAge, formatDuration, formatNumber, formatSignificant, NBSP } from '../format.ts'
import { SideSwatch } from '../SideSwatch.tsx'
import { SIDES } from '../sides.ts'
import { toldFigure } from '../told-figure.ts'
import { type Units, useUnits } from '../units.tsx'
import { VERDICT_WORDS } from '../verdict-words.ts'
import styles from './SideFigures.module.css'

interface SideFiguresProps {
  readonly zoneId: string
  readonly side: Side
  /** Null while nothing may be shown as a number. */
  readonly now: SideNow | null
  readonly totalMeans: 'tension' | 'force'
  readonly capacityN: number
  /** The zone has a geometry that tells what to expect. */
  readonly isCompared: boolean
}

/** `waiting`: its samples are good, but there is no mean that counts. */
type SideState = 'good' | 'uncertain' | 'waiting' | 'unknown'

/** One side in numbers: what it carries with its uncertainty, its share of the capacity, its newest sample. */
export function SideFigures({ zoneId, side, now, totalMeans, capacityN, isCompared }: SideFiguresProps) {
  const units = useUnits()
  const main = now === null ? null : totalMeans === 'tension' ? (now.tension ?? now.force) : now.force
  const state = stateOf(now, main)
  const isShown = state === 'good' || state === 'uncertain'
  const shown = !isShown || main === null ? null : toldFigure(main, units)
  return (
    <section className={styles.side} data-side={side} data-state={state} aria-label={SIDES[side].title}>
      <h2>
        <SideSwatch side={side} />
        {SIDES[side].title}
      </h2>
      <p className={styles.figure}>
        <span className={styles.number} data-testid={`side-value-${side}`} data-state={state}>
          {shown === null ? state : shown.value}
        </span>
        {shown !== null && <span className={styles.unit}> {shown.unit}</span>}
      </p>
      <p className={shown === null ? styles.reason : styles.uncertainty}>
        {shown === null || main === null
          ? unknownReason(now, main)
          : `${shown.worth}, mean of ${formatDuration(main.window?.seconds ?? 0)}`}
      </p>
      <dl className={styles.details}>
        {totalMeans === 'tension' && <ForceTerm force={isShown ? (now?.force ?? null) : null} units={units} />}
        {isCompared && <ExpectedTerm side={side} now={now} units={units} />}
        <CapacityTerm live={now?.live ?? null} capacityN={capacityN} units={units} />
        <SampleTerm zoneId={zoneId} side={side} live={now?.live ?? null} units={units} />
      </dl>
    </section>
  )
}

function stateOf(now: SideNow | null, main: Figure | null): SideState {
  if (now === null || main === null) return 'unknown'
  const quality = qualityOf(now.live.code)
  if (quality === 'bad') return 'unknown'
  return main.value === null ? 'waiting' : quality
}

function unknownReason(now: SideNow | null, main: Figure | null): string {
  if (now === null) return 'no picture from the gateway'
  if (qualityOf(now.live.code) === 'bad') return reasonInWords(now.live.code)
  return main?.waiting ?? 'no good samples in the window'
}

function ForceTerm({ force, units }: { readonly force: Figure | null; readonly units: Units }) {
  return (
    <div>
      <dt>Along the arrow</dt>
      <dd>{force?.value == null ? 'no mean' : units.figure(force.value, force.U, force.unit).text}</dd>
    </div>
  )
}

interface ExpectedTermProps {
  readonly side: Side
  readonly now: SideNow | null
  readonly units: Units
}

/** What the geometry expects along this arrow and on the meter, and the verdict of holding it against the mean. */
function ExpectedTerm({ side, now, units }: ExpectedTermProps) {
  const { expected, expectedSignal: signal, agreement } = now ?? {}
  return (
    <div className={styles.expected} data-testid={`expected-${side}`}>
      <dt>Expected along the arrow</dt>
      <dd>
        {expected?.value == null ? (
          <span className={styles.remark}>{expected?.waiting ?? 'unknown'}</span>
        ) : (
          units.figure(expected.value, expected.U, expected.unit).text
        )}
        {signal !== undefined && expected?.value != null && (
          <span>
            {' '}
            ({formatSignificant(signal.value)}
            {NBSP}
            {signal.unit})
          </span>
        )}
        {agreement?.value != null && `, ${VERDICT_WORDS[agreement.verdict.state]}`}
      </dd>
    </div>
  )
}

interface CapacityTermProps {
  readonly live: Live | null
  readonly capacityN: number
  readonly units: Units
}

/** From the newest sample, not the mean: a cell is overloaded in a moment. */
function CapacityTerm({ live, capacityN, units }: CapacityTermProps) {
  const capacity = units.plain(capacityN, 'N', false)
  const force = live === null || qualityOf(live.code) === 'bad' ? null : live.value
  const share = force === null ? null : force / capacityN
  return (
    <div>
      <dt>Of the cell’s capacity, now</dt>
      <dd>
        {share === null ? `unknown of ${capacity}` : `${formatNumber(share * 100, 0)}${NBSP}% of ${capacity}`}
        <svg className={styles.gauge} data-over={share !== null && Math.abs(share) > 1} aria-hidden="true">
          <rect className={styles.gaugeAll} width="100%" height="6" />
          {share !== null && <rect width={`${Math.min(100, Math.abs(share) * 100).toFixed(1)}%`} height="6" />}
        </svg>
      </dd>
    </div>
  )
}

interface SampleTermProps {
  readonly zoneId: string
  readonly side: Side
  readonly live: Live | null
  readonly units: Units
}

/** The newest sample as the device gave it, with its age: what a hand on the roller is watched by. */
function SampleTerm({ zoneId, side, live, units }: SampleTermProps) {
  const isUsable = live !== null && live.value !== null && qualityOf(live.code) !== 'bad'
  return (
    <div data-testid={`newest-${side}`}>
      <dt>Newest sample</dt>
      <dd>
        {isUsable ? <UsableSample live={live} units={units} /> : <LastUsable zoneId={zoneId} side={side} live={live} />}
      </dd>
    </div>
  )
}

function UsableSample({ live, units }: { readonly live: Live; readonly units: Units }) {
  const age = useAge(live.timeMs)
  return (
    <>
      {sampleInWords(live, units)}
      {age !== null && (
        <>
          , <span className={styles.age}>{formatAge(age)} old</span>
        </>
      )}
      <span className={styles.remark}>one sample, not averaged</span>
    </>
  )
}

/** The age of a sample that is not usable says nothing; how long there has been none does. */
function LastUsable({ zoneId, side, live }: Omit<SampleTermProps, 'units'>) {
  const age = useAge(useLastGood(zoneId, side))
  const what = live === null ? 'unknown' : 'not usable'
  return age === null ? `${what}; no usable one is known` : `${what}; last usable one ${formatAge(age)} ago`
}

function sampleInWords(live: Live, units: Units): string {
  if (live.value === null) return 'unknown'
  const signal =
    live.electrical === null || live.electricalUnit === null
      ? ''
      : ` (${formatSignificant(live.electrical)}${NBSP}${live.electricalUnit})`
  const doubt = qualityOf(live.code) === 'uncertain' ? `, uncertain: ${reasonInWords(live.code)}` : ''
  return `${units.figure(live.value, null, live.unit).text}${signal}${doubt}`
}
