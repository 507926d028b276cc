'use client'

import 'uplot/dist/uPlot.min.css'
import { useCallback, useEffect, useId, useMemo, useRef, useState } from 'react'
import type { AuxRole } from '../../shared/sample.ts'
import type { ZoneInfo } from '../../shared/schemas/zones.ts'
import { stream } from '../_stream/store.ts'
import { formatDuration, formatNumber } from '../_ui/format.ts'
import { useRememberedFlag } from '../_ui/remembered.ts'
import { SideSwatch } from '../_ui/SideSwatch.tsx'
import { SIDES, sidesOf } from '../_ui/sides.ts'
import { useLook } from '../_ui/theme.ts'
import { useUnits } from '../_ui/units.tsx'
import { readingDecimals, readingsAt } from './cursors.ts'
import { auxRolesOf, type DrawnColumn, drawnAux, drawnSides, tracedQuantity } from './drawn-columns.ts'
import { flagCount } from './flag-words.ts'
import { type Flag, flagsBetween } from './flags.ts'
import { type GapRule, gapRule } from './gap-rule.ts'
import { summaryOf } from './per-second.ts'
import { TraceFlags } from './TraceFlags.tsx'
import { type ReadoutState, readingSentence, TraceReadout } from './TraceReadout.tsx'
import { showCursors, TraceStage } from './TraceStage.tsx'
import styles from './Traces.module.css'
import { TraceTable } from './TraceTable.tsx'
import { TraceToolbar } from './TraceToolbar.tsx'
import { clockText } from './time-ticks.ts'
import { type Frame, type PlotSpec, useTraceFrames } from './use-trace-frames.ts'
import { pointedMs, type TraceState, useTraces } from './use-traces.ts'
import { isZoomed } from './view.ts'

/** Text beside the canvas follows at this pace: faster cannot be read. */
const READOUT_MS = 125
const SURVEY_MS = 2000
const SETTLED_MS = 150

/** Traces of the sides of one zone, with what else it reads below them on the same time axis. */
export function Traces({ zone }: { readonly zone: ZoneInfo }) {
  return <ZoneTraces key={zone.id} zone={zone} />
}

function ZoneTraces({ zone }: { readonly zone: ZoneInfo }) {
  const { choice } = useUnits()
  const theme = useLook()
  const headingId = useId()
  const helpId = useId()
  const summaryId = useId()
  const [fromZero, setFromZero] = useRememberedFlag('evenpull.traces.from-zero', false)
  const auxRoles = useMemo(() => auxRolesOf(zone), [zone])
  const [chosenAux, setAux] = useState<AuxRole | null>(auxRoles[0] ?? null)
  const aux = chosenAux !== null && auxRoles.includes(chosenAux) ? chosenAux : null

  const main = useMemo(() => drawnSides(zone, choice), [zone, choice])
  const below = useMemo(() => (aux === null ? null : drawnAux(zone, aux, choice)), [zone, aux, choice])
  const columns = useMemo(() => (below === null ? main : [...main, below]), [main, below])
  const gaps = useMemo(() => gapRule(zone.rateHz), [zone.rateHz])
  const mainSpec = useMemo(
    (): PlotSpec => ({ columns: main, quantity: tracedQuantity(zone), fromZero }),
    [main, zone, fromZero],
  )
  const auxSpec = useMemo(
    (): PlotSpec | null => (below === null ? null : { columns: [below], quantity: below.label, fromZero: false }),
    [below],
  )

  const refs = {
    main: useRef<HTMLDivElement>(null),
    aux: useRef<HTMLDivElement>(null),
    overlay: useRef<HTMLDivElement>(null),
  }
  const latest = useRef<Frame | null>(null)
  const [state, actions] = useTraces(zone, latest)
  const [beside, setBeside] = useState<Beside>(NOTHING_BESIDE)
  const survey = useSurvey()
  const { look } = survey
  const nextReadout = useRef(0)

  const isPaused = state.view.mode === 'paused'
  /** Live frames come faster than text can be read; a paused one comes only when something changed. */
  const follow = useCallback(
    (frame: Frame) => {
      latest.current = frame
      showCursors(refs.overlay.current, frame, state)
      const now = performance.now()
      if (!isPaused && now < nextReadout.current) return
      nextReadout.current = now + READOUT_MS
      setBeside(besideOf(frame, columns, state, gaps))
    },
    [columns, gaps, state, isPaused, refs.overlay],
  )
  useTraceFrames(
    refs.main,
    refs.aux,
    mainSpec,
    auxSpec,
    { zoneId: zone.id, view: state.view, frozen: state.frozen, frozenExpected: state.frozenExpected, gaps },
    theme,
    (frame) => {
      follow(frame)
      look(frame, columns, gaps, isPaused)
    },
  )
  // Cursors and readings also follow the hand while the picture stands still.
  useEffect(() => {
    if (latest.current !== null) follow(latest.current)
  }, [follow])

  const { pointed } = beside.readout
  const cursorText =
    pointed === null
      ? 'not set'
      : [
          clockText(pointed.tMs, 10),
          ...columns.map((c, i) => readingSentence(c.label, pointed.readings[i], c.unit)),
        ].join(', ')
  const nextFlag = (step: 1 | -1, fromMs: number) => {
    const flags = survey.flags
    const found = step === 1 ? flags.find((f) => f.fromMs > fromMs) : flags.findLast((f) => f.toMs < fromMs)
    if (found !== undefined) actions.goTo(found)
  }

  return (
    <section className={styles.traces} aria-labelledby={headingId} data-testid="traces">
      <div className={styles.head}>
        <h2 id={headingId}>Traces</h2>
        <ul className={styles.legend} aria-label="Lines">
          {sidesOf(zone).map((side) => (
            <li key={side}>
              <SideSwatch side={side} />
              {SIDES[side].name}
            </li>
          ))}
        </ul>
      </div>
      <TraceToolbar
        view={state.view}
        actions={actions}
        fromZero={fromZero}
        onFromZero={setFromZero}
        auxRoles={auxRoles}
        aux={aux}
        onAux={setAux}
      />
      <p className={styles.status} data-testid="trace-status" data-mode={state.view.mode}>
        {statusInWords(state, beside.behindSeconds)}
      </p>
      <TraceStage
        refs={refs}
        latest={latest}
        state={state}
        actions={actions}
        hasAux={below !== null}
        cursorText={cursorText}
        cursorSeconds={pointed === null ? 0 : Math.max(-600, Math.min(0, (pointed.tMs - beside.toMs) / 1000))}
        onNextFlag={nextFlag}
        describedBy={`${summaryId} ${helpId}`}
      />
      <Scrubber state={state} recordedMs={beside.recordedMs} onScrub={actions.scrubTo} />
      <p className={styles.marks}>
        Line: mean of the samples in one pixel. Shade: lowest to highest. Hatching or a stripe: no value. Bar on the
        lower edge: uncertain.
        {zone.webMassKgM !== undefined && ' Wide band: what was expected then, with its uncertainty.'}
      </p>
      <details className={`${styles.help} not-printed`}>
        <summary>Mouse, touch and keys on the traces</summary>
        <p id={helpId}>
          Drag across the picture to look closer; press once to set A, again to set B. With the traces focused: arrows
          move the cursor, with Shift ten times as far, Home and End to the edges; Page up and down look back; + and −
          zoom; space pauses; A, B or Enter set a cursor; G goes to the next gap, Shift G to the one before; Escape
          clears.
        </p>
      </details>
      <p className="heard-only" id={summaryId} data-testid="trace-summary">
        {survey.text}
      </p>
      <div className={styles.beside}>
        <TraceReadout state={beside.readout} />
        <TraceFlags flags={survey.flags} columns={columns} isPaused={isPaused} onGo={actions.goTo} />
      </div>
      <TraceTable columns={columns} frame={() => latest.current} />
    </section>
  )
}

interface Beside {
  readonly readout: ReadoutState
  readonly behindSeconds: number
  readonly toMs: number
  /** How much there is to scrub through. */
  readonly recordedMs: number
}

const NOTHING_BESIDE: Beside = {
  readout: { columns: [], pointed: null, a: null, b: null, bucketMs: 100 },
  behindSeconds: 0,
  toMs: 0,
  recordedMs: 0,
}

function besideOf(frame: Frame, columns: readonly DrawnColumn[], state: TraceState, gaps: GapRule): Beside {
  const { source, span } = frame
  const at = (tMs: number | null) => readingsAt(source, columns, tMs, span.bucketMs, gaps)
  const { a, b } = state.cursors
  return {
    readout: {
      columns,
      pointed: at(pointedMs(state.pointed, span)),
      a: at(a),
      b: at(b),
      bucketMs: span.bucketMs,
    },
    behindSeconds: Math.max(0, ((stream().gatewayNow() ?? Date.now()) - span.toMs) / 1000),
    toMs: span.toMs,
    recordedMs: source === null || source.length === 0 ? 0 : span.toMs - source.timeAt(0),
  }
}

function statusInWords({ view }: TraceState, behindSeconds: number): string {
  if (view.mode === 'live') return `Live, last ${formatDuration(view.windowMs / 1000)}`
  const paused = `Paused at ${clockText(view.pausedAtMs, 1000)}, ${formatDuration(behindSeconds)} behind`
  if (!isZoomed(view)) return paused
  const step = Math.min(500, (view.toMs - view.fromMs) / 20)
  return `${paused}. Showing ${clockText(view.fromMs, step)} to ${clockText(view.toMs, step)}`
}

/** A native slider over what is recorded; moving it pauses. */
function Scrubber({
  state,
  recordedMs,
  onScrub,
}: {
  readonly state: TraceState
  readonly recordedMs: number
  readonly onScrub: (toMs: number) => void
}) {
  const { view } = state
  const endMs = view.mode === 'paused' ? view.pausedAtMs : null
  const lengthSeconds = Math.max(
    1,
    Math.round((view.mode === 'paused' ? view.pausedAtMs - view.oldestMs : recordedMs) / 1000),
  )
  const value = view.mode === 'paused' ? (view.toMs - view.pausedAtMs) / 1000 : 0
  return (
    <label className={`${styles.scrub} not-printed`}>
      <span>Look back</span>
      <input
        type="range"
        data-testid="trace-scrub"
        min={-lengthSeconds}
        max={0}
        step={0.1}
        value={Math.max(-lengthSeconds, value)}
        aria-valuetext={value === 0 ? 'at the end' : `${formatDuration(-value)} before the end`}
        onChange={(event) => {
          const seconds = Number(event.target.value)
          onScrub((endMs ?? stream().gatewayNow() ?? Date.now()) + seconds * 1000)
        }}
      />
      <span className={styles.scrubValue}>{value === 0 ? 'at the end' : `${formatDuration(-value)} back`}</span>
    </label>
  )
}

interface Survey {
  readonly flags: readonly Flag[]
  readonly text: string
  look(frame: Frame, columns: readonly DrawnColumn[], gaps: GapRule, isPaused: boolean): void
}

/** Flagged stretches and the picture in a sentence: both read every sample in view, so they come seldom. */
function useSurvey(): Survey {
  const [found, setFound] = useState<{ flags: readonly Flag[]; text: string }>({ flags: [], text: '' })
  const next = useRef(0)
  const waiting = useRef<ReturnType<typeof setTimeout> | undefined>(undefined)
  useEffect(() => () => clearTimeout(waiting.current), [])
  const look = useCallback((frame: Frame, columns: readonly DrawnColumn[], gaps: GapRule, isPaused: boolean) => {
    const { source, span } = frame
    if (source === null) return
    const take = () => {
      const indexes = columns.map((c) => c.index)
      const flags = flagsBetween(source, indexes, span.fromMs, span.toMs, gaps)
      setFound({ flags, text: summaryInWords(frame, columns, flags.length) })
    }
    clearTimeout(waiting.current)
    const now = performance.now()
    if (isPaused) {
      // The last of many changes is the one to look at: nothing comes after it.
      waiting.current = setTimeout(take, SETTLED_MS)
    } else if (now >= next.current) {
      next.current = now + SURVEY_MS
      take()
    }
  }, [])
  return useMemo(() => ({ ...found, look }), [found, look])
}

function summaryInWords({ source, span }: Frame, columns: readonly DrawnColumn[], flags: number): string {
  if (source === null) return 'No samples yet.'
  const parts = columns.map((column) => {
    const { mean, lo, hi } = summaryOf(source, column.index, span.fromMs, span.toMs)
    if (lo === null || hi === null) return `${column.label}: no data`
    const shown = (si: number) => {
      const value = si * column.map.factor + column.map.offset
      return formatNumber(value, readingDecimals(value))
    }
    const middle = mean === null ? '' : `mean ${shown(mean)}, `
    return `${column.label}: ${middle}lowest ${shown(lo)}, highest ${shown(hi)} ${column.unit}`
  })
  const time = `${clockText(span.fromMs, 1000)} to ${clockText(span.toMs, 1000)}`
  return `From ${time}. ${parts.join('. ')}. ${flagCount(flags)}.`
}
