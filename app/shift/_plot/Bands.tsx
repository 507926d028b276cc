import 'uplot/dist/uPlot.min.css'
import { useCallback, useEffect, useId, useMemo, useRef, useState } from 'react'
import { steadyStretches } from '../../../lib/summary/steady.ts'
import type { ShiftAnalysis } from '../../../shared/schemas/shift.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { gapRule } from '../../_plots/gap-rule.ts'
import { clockText } from '../../_plots/time-ticks.ts'
import { formatDay, formatDuration, NBSP } from '../../_ui/format.ts'
import { useRememberedFlag } from '../../_ui/remembered.ts'
import { SideSwatch } from '../../_ui/SideSwatch.tsx'
import { SIDES, sidesOf } from '../../_ui/sides.ts'
import { useLook } from '../../_ui/theme.ts'
import { type AxisFlag, FLAG_KINDS, FLAG_WORDS } from '../_model/axis-flags.ts'
import type { Band } from '../_model/bands.ts'
import type { HistoryRows } from '../_model/history-rows.ts'
import { useLimits } from '../_model/limits.ts'
import { sceneDrifts } from '../_model/scene-parts.ts'
import type { HistoryState } from '../_model/use-history.ts'
import type { ShiftTimes } from '../_model/use-shift-times.ts'
import { panBy, pinch, zoomBy, zoomTo } from '../_model/zoom.ts'
import { BandStage, showCursor } from './BandStage.tsx'
import styles from './Bands.module.css'
import { BandTable } from './BandTable.tsx'
import type { Scene, StackFrame } from './band-stack.ts'
import { CursorReadout, cursorInWords } from './CursorReadout.tsx'
import { cursorReading } from './cursor-readings.ts'
import { FlagLane } from './FlagLane.tsx'
import { FlagShape } from './FlagShape.tsx'
import type { StageActions } from './stage-keys.ts'
import { useBandFrames } from './use-band-frames.ts'

/** Share of the shift kept free on its right for where the drift leads. */
const AHEAD = 0.12
/** Flags this near to the cursor are read with it. */
const NEAR_PX = 8

interface BandsProps {
  readonly zone: ZoneInfo
  readonly bands: readonly Band[]
  readonly times: ShiftTimes
  readonly history: HistoryState
  /** Rows of the shift it is compared with, moved under this one. */
  readonly earlier: readonly HistoryRows[]
  readonly analysis: ShiftAnalysis | null
  readonly flags: readonly AxisFlag[]
  readonly onWidth: (px: number) => void
  readonly onNote: (tMs: number) => void
}

/** The whole shift on one time axis. */
export function Bands(props: BandsProps) {
  const { zone, bands, times, history, earlier, analysis, flags, onNote } = props
  const [headingId, helpId] = [useId(), useId()]
  const theme = useLook()
  const [isToLimits, setToLimits] = useRememberedFlag('evenpull.shift.to-limits', false)
  const [showsForecast, setForecast] = useRememberedFlag('evenpull.shift.forecast', true)
  const stage = useRef<HTMLDivElement>(null)
  const overlay = useRef<HTMLDivElement>(null)
  const latest = useRef<StackFrame | null>(null)
  const [cursorMs, setCursor] = useState<number | null>(null)
  const [frame, setFrame] = useState<StackFrame | null>(null)
  const holeMs = useMemo(() => gapRule(zone.rateHz).holeMs, [zone.rateHz])

  const { shift, shown, zoom, zoomWith } = times
  const drifts = useMemo(() => sceneDrifts(analysis, showsForecast), [analysis, showsForecast])
  const hasAhead = zoom === null && Object.keys(drifts).length > 0
  const limits = useLimits(bands, analysis, zone.id)
  const scene = useMemo(
    (): Scene => ({
      axis: hasAhead ? { ...shown, toMs: shown.toMs + AHEAD * (shown.toMs - shown.fromMs) } : shown,
      endMs: shift.toMs,
      known: history.known,
      earlier,
      steady: steadyStretches(analysis),
      drifts,
      limits,
      isToLimits,
      flagTimesMs: flags.map(({ timeMs }) => timeMs),
      holeMs,
    }),
    [shown, shift.toMs, hasAhead, history.known, earlier, analysis, drifts, limits, isToLimits, flags, holeMs],
  )
  useBandFrames(
    stage,
    bands,
    scene,
    theme,
    (drawn) => {
      latest.current = drawn
      showCursor(overlay.current, drawn, cursorMs)
      setFrame(drawn)
    },
    props.onWidth,
  )
  useEffect(() => {
    if (latest.current !== null) showCursor(overlay.current, latest.current, cursorMs)
  }, [cursorMs])

  const goToFlag = useCallback(
    (step: 1 | -1, fromMs: number) => {
      const found = step === 1 ? flags.find((f) => f.timeMs > fromMs + 1) : flags.findLast((f) => f.timeMs < fromMs - 1)
      if (found === undefined) return
      setCursor(found.timeMs)
      zoomWith((whole, z) =>
        z === null || isWithin(z, found.timeMs) ? z : panBy(whole, z, found.timeMs - middleOf(z)),
      )
    },
    [flags, zoomWith],
  )
  const actions = useMemo(
    (): StageActions => ({
      point: setCursor,
      zoomTo: (a, b) => zoomWith((whole) => zoomTo(whole, a, b)),
      zoomBy: (factor, around) => zoomWith((whole, z) => zoomBy(whole, z, factor, around)),
      panBy: (ms) => zoomWith((whole, z) => panBy(whole, z, ms)),
      pinch: (at, shares) => zoomWith((whole) => pinch(whole, at, shares)),
      whole: () => zoomWith(() => null),
      flag: goToFlag,
      note: onNote,
    }),
    [zoomWith, goToFlag, onNote],
  )
  const reading = cursorMs === null || frame === null ? null : cursorReading(frame.rows, bands, cursorMs, holeMs)
  const earlierReading =
    cursorMs === null || frame?.earlier == null ? null : cursorReading(frame.earlier, bands, cursorMs, holeMs)
  const near =
    cursorMs === null || frame === null
      ? []
      : flags.filter((f) => Math.abs(f.timeMs - cursorMs) <= NEAR_PX * frame.msPerPx)
  const around = cursorMs ?? middleOf(shown)

  return (
    <section className={styles.bands} aria-labelledby={headingId} data-testid="bands">
      <div className={styles.head}>
        <h2 id={headingId}>The shift on one axis</h2>
        <Key zone={zone} hasEarlier={earlier.length > 0} />
      </div>
      <div className={`${styles.toolbar} not-printed`}>
        <div className={styles.buttons}>
          <button type="button" className="control" onClick={() => actions.zoomBy(0.5, around)}>
            Closer
          </button>
          <button type="button" className="control" onClick={() => actions.zoomBy(2, around)}>
            Wider
          </button>
          <button type="button" className="control" disabled={zoom === null} onClick={actions.whole}>
            Whole shift
          </button>
          <button
            type="button"
            className="control"
            disabled={flags.length === 0}
            onClick={() => goToFlag(-1, cursorMs ?? shown.toMs)}
          >
            Flag before
          </button>
          <button
            type="button"
            className="control"
            disabled={flags.length === 0}
            onClick={() => goToFlag(1, cursorMs ?? shown.fromMs)}
          >
            Next flag
          </button>
        </div>
        <div className={styles.buttons}>
          <button type="button" className="control" aria-pressed={isToLimits} onClick={() => setToLimits(!isToLimits)}>
            Scale to limits
          </button>
          <button
            type="button"
            className="control"
            aria-pressed={showsForecast}
            onClick={() => setForecast(!showsForecast)}
          >
            Drift and forecast
          </button>
        </div>
      </div>
      <p
        className={styles.status}
        data-testid="shift-status"
        data-source={frame?.rows == null ? 'none' : frame.rows.bucketMs === 0 ? 'samples' : 'roll-up'}
      >
        {shownInWords(times, frame)}
      </p>
      <div className={styles.frame}>
        <FlagLane flags={flags} axis={frame?.axis ?? shown} area={frame?.area ?? null} />
        <BandStage
          stage={stage}
          overlay={overlay}
          latest={latest}
          bands={bands}
          cursorMs={cursorMs}
          cursorText={cursorInWords(reading)}
          shift={shift}
          actions={actions}
          describedBy={helpId}
          isLoading={history.isLoading}
        />
        {history.isLoading && history.known.length === 0 && <p className={styles.loading}>asking the store…</p>}
        {history.isLoading && history.known.length > 0 && zoom !== null && (
          <p className={styles.loading}>finer picture on its way…</p>
        )}
      </div>
      {history.failure !== null && (
        <p className={styles.failure} role="alert">
          {history.failure.message} {history.failure.remedy}{' '}
          <button type="button" className="control" onClick={history.retry}>
            Ask again
          </button>
        </p>
      )}
      <p className={styles.soft}>
        Line: mean of the good samples of one row. Shade: their lowest to highest. Hatching: no good sample. Grey
        ground: steady running, which drift is told from
        {analysis?.steadiness === 'assumed' ? ' (assumed: no channel tells)' : ''}. Black line with a band: drift, and ±
        of it; dashed: where it leads if it goes on. The spread of the samples is not the uncertainty of a figure: that
        stands with each figure below.
      </p>
      <details className={`${styles.help} not-printed`}>
        <summary>Mouse, touch and keys on the bands</summary>
        <p id={helpId}>
          Drag across the bands to look closer; pinch with two fingers; with Ctrl, or once the bands have the focus, the
          wheel zooms and sideways moves. Keys on the focused bands: arrows move the cursor, with Shift ten times as
          far; + and − zoom; Page up and down move; G goes to the next flag, Shift G to the one before; N or Enter
          writes a note at the cursor; Escape shows the whole shift.
        </p>
      </details>
      <CursorReadout reading={reading} earlier={earlierReading} flags={near} />
      <BandTable bands={bands} rows={frame?.rows ?? null} shown={shown} />
    </section>
  )
}

const middleOf = ({ fromMs, toMs }: { fromMs: number; toMs: number }): number => (fromMs + toMs) / 2
const isWithin = ({ fromMs, toMs }: { fromMs: number; toMs: number }, t: number): boolean => t >= fromMs && t <= toMs

function shownInWords({ shown, zoom, shift }: ShiftTimes, frame: StackFrame | null): string {
  const step = Math.min(60_000, (shown.toMs - shown.fromMs) / 20)
  const isOneDay = formatDay(shown.fromMs) === formatDay(shown.toMs)
  const range = `${formatDay(shown.fromMs)} ${clockText(shown.fromMs, step)} to ${isOneDay ? '' : `${formatDay(shown.toMs)} `}${clockText(shown.toMs, step)}`
  const what =
    zoom === null
      ? 'Whole shift'
      : `Closer look, ${formatDuration((shown.toMs - shown.fromMs) / 1000)} of ${formatDuration((shift.toMs - shift.fromMs) / 1000)}`
  return `${what}: ${range}. ${rowInWords(frame?.rows ?? null)}`
}

function rowInWords(rows: HistoryRows | null): string {
  if (rows === null) return ''
  if (rows.bucketMs === 0) return 'Every sample is drawn.'
  return `One row is ${rows.bucketMs < 1000 ? `${Math.round(rows.bucketMs)}${NBSP}ms` : formatDuration(rows.bucketMs / 1000)}.`
}

function Key({ zone, hasEarlier }: { readonly zone: ZoneInfo; readonly hasEarlier: boolean }) {
  return (
    <ul className={styles.key} aria-label="Lines and flags">
      {sidesOf(zone).map((side) => (
        <li key={side}>
          <SideSwatch side={side} />
          {SIDES[side].name}
        </li>
      ))}
      {hasEarlier && (
        <li>
          <svg viewBox="0 0 28 8" aria-hidden="true">
            <line x1="0" x2="28" y1="4" y2="4" stroke="currentColor" strokeWidth="2.5" strokeDasharray="2 4" />
          </svg>
          earlier
        </li>
      )}
      {/* Every kind, also those that did not happen: the plot under it stands still when one comes. */}
      {FLAG_KINDS.map((kind) => (
        <li key={kind}>
          <FlagShape kind={kind} />
          {FLAG_WORDS[kind]}
        </li>
      ))}
    </ul>
  )
}
