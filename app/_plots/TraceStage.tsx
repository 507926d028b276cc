import { type PointerEvent, type RefObject, useRef } from 'react'
import styles from './Traces.module.css'
import { keyAction } from './trace-keys.ts'
import type { Frame } from './use-trace-frames.ts'
import { pointedMs, type TraceActions, type TraceState } from './use-traces.ts'

/** A pointer that moved less than this made a click, not a selection. */
const DRAG_FROM_PX = 6

interface StageRefs {
  readonly main: RefObject<HTMLDivElement | null>
  readonly aux: RefObject<HTMLDivElement | null>
  readonly overlay: RefObject<HTMLDivElement | null>
}

export interface StageProps {
  readonly refs: StageRefs
  readonly latest: RefObject<Frame | null>
  readonly state: TraceState
  readonly actions: TraceActions
  readonly hasAux: boolean
  /** The cursor in words, and its place in seconds before the end of the picture. */
  readonly cursorText: string
  readonly cursorSeconds: number
  readonly onNextFlag: (step: 1 | -1, fromMs: number) => void
  readonly describedBy: string
}

/** The canvases with what lies over them: pointer, keys, cursors, the selection. */
export function TraceStage(props: StageProps) {
  const { refs, latest, state, actions, hasAux } = props
  const drag = useRef<{ id: number; startX: number; startMs: number | null; isSelecting: boolean } | null>(null)

  const shareAt = (event: PointerEvent): number | null => {
    const frame = latest.current
    if (frame === null) return null
    const x = event.clientX - event.currentTarget.getBoundingClientRect().left - frame.area.left
    const share = x / frame.area.width
    return share < 0 || share > 1 ? null : share
  }
  const timeAt = (event: PointerEvent): number | null => {
    const share = shareAt(event)
    const span = latest.current?.span
    return share === null || span === undefined ? null : span.fromMs + share * (span.toMs - span.fromMs)
  }
  const onDown = (event: PointerEvent) => {
    if (event.button !== 0) return
    const startMs = timeAt(event)
    if (startMs !== null) drag.current = { id: event.pointerId, startX: event.clientX, startMs, isSelecting: false }
  }
  const onMove = (event: PointerEvent) => {
    const share = shareAt(event)
    actions.point(share === null ? null : { share })
    const held = drag.current
    if (held === null || held.id !== event.pointerId || held.startMs === null) return
    if (!held.isSelecting) {
      if (Math.abs(event.clientX - held.startX) < DRAG_FROM_PX) return
      held.isSelecting = true
      event.currentTarget.setPointerCapture(event.pointerId)
      actions.pause()
    }
    showSelection(refs.overlay.current, latest.current, held.startMs, timeAt(event))
  }
  const onUp = (event: PointerEvent) => {
    const held = drag.current
    drag.current = null
    showSelection(refs.overlay.current, latest.current, null, null)
    const tMs = timeAt(event)
    if (held === null || held.startMs === null || tMs === null) return
    if (held.isSelecting) actions.zoomTo(held.startMs, tMs)
    else actions.place(tMs)
  }
  const onCancel = () => {
    drag.current = null
    showSelection(refs.overlay.current, latest.current, null, null)
  }

  return (
    <div
      className={styles.stage}
      data-testid="trace-stage"
      role="slider"
      tabIndex={0}
      aria-label="Time cursor over the traces"
      aria-describedby={props.describedBy}
      aria-valuemin={-600}
      aria-valuemax={0}
      aria-valuenow={props.cursorSeconds}
      aria-valuetext={props.cursorText}
      onPointerDown={onDown}
      onPointerMove={onMove}
      onPointerUp={onUp}
      onPointerCancel={onCancel}
      onPointerLeave={() => {
        if (drag.current === null && state.pointed !== null && 'share' in state.pointed) actions.point(null)
      }}
      onKeyDown={(event) => {
        const act = latest.current === null ? null : keyAction(event, latest.current.span, props)
        if (act === null) return
        event.preventDefault()
        act()
      }}
    >
      <div ref={refs.main} className={styles.mainPlot} data-testid="trace-plot" />
      {hasAux && <div ref={refs.aux} className={styles.auxPlot} data-testid="trace-plot-below" />}
      <div ref={refs.overlay} className={styles.overlay} aria-hidden="true">
        <div className={styles.cursorLine} data-line="pointed" />
        <div className={styles.cursorLine} data-line="a">
          <span>A</span>
        </div>
        <div className={styles.cursorLine} data-line="b">
          <span>B</span>
        </div>
        <div className={styles.selection} data-line="selection" />
      </div>
    </div>
  )
}

function lineOf(overlay: HTMLElement | null, name: string): HTMLElement | null {
  return overlay?.querySelector<HTMLElement>(`[data-line="${name}"]`) ?? null
}

/** Puts the cursor lines where their times are on this frame. */
export function showCursors(overlay: HTMLElement | null, frame: Frame, state: TraceState): void {
  if (overlay === null) return
  overlay.style.left = `${frame.area.left}px`
  overlay.style.width = `${frame.area.width}px`
  const lines = { pointed: pointedMs(state.pointed, frame.span), ...state.cursors }
  for (const [name, tMs] of Object.entries(lines)) {
    const line = lineOf(overlay, name)
    const share = tMs === null ? -1 : (tMs - frame.span.fromMs) / (frame.span.toMs - frame.span.fromMs)
    if (line === null) continue
    line.style.visibility = share >= 0 && share <= 1 ? 'visible' : 'hidden'
    line.style.transform = `translateX(${share * frame.area.width}px)`
  }
}

function showSelection(overlay: HTMLElement | null, frame: Frame | null, aMs: number | null, bMs: number | null): void {
  const box = lineOf(overlay, 'selection')
  if (box === null) return
  if (frame === null || aMs === null || bMs === null) {
    box.style.visibility = 'hidden'
    return
  }
  const px = (t: number) => ((t - frame.span.fromMs) / (frame.span.toMs - frame.span.fromMs)) * frame.area.width
  box.style.visibility = 'visible'
  box.style.left = `${px(Math.min(aMs, bMs))}px`
  box.style.width = `${px(Math.max(aMs, bMs)) - px(Math.min(aMs, bMs))}px`
}
