import { type PointerEvent, type RefObject, useEffect, useRef } from 'react'
import type { Band } from '../_model/bands.ts'
import type { Span } from '../_model/shift-choice.ts'
import styles from './Bands.module.css'
import type { StackFrame } from './band-stack.ts'
import { type StageActions, stageKey } from './stage-keys.ts'

/** A pointer that moved less than this made a click, not a selection. */
const DRAG_FROM_PX = 6
/** One notch of a wheel makes the picture this much longer or shorter. */
const WHEEL_FACTOR = 1.0015

interface BandStageProps {
  readonly stage: RefObject<HTMLDivElement | null>
  readonly overlay: RefObject<HTMLDivElement | null>
  readonly latest: RefObject<StackFrame | null>
  readonly bands: readonly Band[]
  readonly cursorMs: number | null
  readonly cursorText: string
  readonly shift: Span
  readonly actions: StageActions
  readonly describedBy: string
  readonly isLoading: boolean
}

/** The canvases of all bands with what lies over them: pointer, wheel, fingers, keys, cursor, the selection. */
export function BandStage(props: BandStageProps) {
  const { stage, overlay, latest, actions, shift } = props
  const pointers = useRef(new Map<number, number>())
  const drag = useRef<{ id: number; startX: number; startMs: number; isSelecting: boolean } | null>(null)
  const held = useRef<readonly [number, number] | null>(null)
  useWheel(stage, latest, actions)

  const shareAt = (clientX: number): number | null => {
    const frame = latest.current
    const box = stage.current?.getBoundingClientRect()
    return frame === null || box === undefined ? null : (clientX - box.left - frame.area.left) / frame.area.width
  }
  const timeOf = (share: number): number => {
    const axis = latest.current?.axis ?? shift
    return axis.fromMs + Math.min(1, Math.max(0, share)) * (axis.toMs - axis.fromMs)
  }
  const onDown = (event: PointerEvent) => {
    const share = shareAt(event.clientX)
    if (event.button !== 0 || share === null) return
    pointers.current.set(event.pointerId, share)
    if (pointers.current.size === 2) {
      const [a = 0, b = 1] = [...pointers.current.values()]
      held.current = [timeOf(a), timeOf(b)]
      drag.current = null
      showSelection(overlay.current, latest.current, null)
    } else if (share >= 0 && share <= 1)
      drag.current = { id: event.pointerId, startX: event.clientX, startMs: timeOf(share), isSelecting: false }
  }
  const onMove = (event: PointerEvent) => {
    const share = shareAt(event.clientX)
    if (share === null) return
    if (pointers.current.has(event.pointerId)) pointers.current.set(event.pointerId, share)
    if (held.current !== null && pointers.current.size === 2) {
      const [a = 0, b = 1] = [...pointers.current.values()]
      actions.pinch(held.current, [a, b])
      return
    }
    actions.point(share < 0 || share > 1 ? null : timeOf(share))
    const selecting = drag.current
    if (selecting === null || selecting.id !== event.pointerId) return
    if (!selecting.isSelecting) {
      if (Math.abs(event.clientX - selecting.startX) < DRAG_FROM_PX) return
      selecting.isSelecting = true
      event.currentTarget.setPointerCapture(event.pointerId)
    }
    showSelection(overlay.current, latest.current, [selecting.startMs, timeOf(share)])
  }
  const onUp = (event: PointerEvent) => {
    const share = shareAt(event.clientX)
    const ended = drag.current
    letGo(event)
    if (ended === null || ended.id !== event.pointerId || share === null) return
    if (ended.isSelecting) actions.zoomTo(ended.startMs, timeOf(share))
    else actions.point(timeOf(share))
  }
  const letGo = (event: PointerEvent) => {
    pointers.current.delete(event.pointerId)
    held.current = null
    drag.current = null
    showSelection(overlay.current, latest.current, null)
  }

  return (
    <div
      ref={stage}
      className={styles.stage}
      data-testid="shift-stage"
      data-loading={props.isLoading}
      role="slider"
      tabIndex={0}
      aria-label="Time cursor over the bands"
      aria-describedby={props.describedBy}
      aria-valuemin={0}
      aria-valuemax={Math.round((shift.toMs - shift.fromMs) / 1000)}
      aria-valuenow={Math.round(((props.cursorMs ?? shift.fromMs) - shift.fromMs) / 1000)}
      aria-valuetext={props.cursorText}
      onPointerDown={onDown}
      onPointerMove={onMove}
      onPointerUp={onUp}
      onPointerCancel={letGo}
      onPointerLeave={(event) => {
        if (event.pointerType === 'mouse' && drag.current === null && document.activeElement !== event.currentTarget)
          actions.point(null)
      }}
      onKeyDown={(event) => {
        const act = latest.current === null ? null : stageKey(event, latest.current, props.cursorMs, actions)
        if (act === null) return
        event.preventDefault()
        event.stopPropagation()
        act()
      }}
    >
      {props.bands.map((band) => (
        <div key={band.key} data-band={band.key} className={band.isTall ? styles.tall : styles.low} />
      ))}
      <div ref={overlay} className={styles.overlay} aria-hidden="true">
        <div className={styles.cursor} data-line="cursor" />
        <div className={styles.selection} data-line="selection" />
      </div>
    </div>
  )
}

/**
 * Zooms by the wheel where that cannot be meant for the page: with Ctrl or a pinched track pad, or once the bands
 * have the focus. Sideways it moves the picture. React's own handler may not refuse the page's scrolling.
 */
function useWheel(
  stage: RefObject<HTMLDivElement | null>,
  latest: RefObject<StackFrame | null>,
  actions: StageActions,
): void {
  useEffect(() => {
    const element = stage.current
    if (element === null) return
    const turn = (event: WheelEvent) => {
      const frame = latest.current
      if (frame === null || !(event.ctrlKey || event.metaKey || document.activeElement === element)) return
      event.preventDefault()
      const { axis, area, msPerPx } = frame
      if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) actions.panBy(event.deltaX * msPerPx)
      else {
        const x = event.clientX - element.getBoundingClientRect().left - area.left
        const pixels = event.deltaY * (event.deltaMode === 1 ? 33 : 1) * (event.ctrlKey ? 4 : 1)
        actions.zoomBy(WHEEL_FACTOR ** pixels, axis.fromMs + x * msPerPx)
      }
    }
    element.addEventListener('wheel', turn, { passive: false })
    return () => element.removeEventListener('wheel', turn)
  }, [stage, latest, actions])
}

function lineOf(overlay: HTMLElement | null, name: string): HTMLElement | null {
  return overlay?.querySelector<HTMLElement>(`[data-line="${name}"]`) ?? null
}

/** Puts the cursor where its time is on this frame. */
export function showCursor(overlay: HTMLElement | null, frame: StackFrame, cursorMs: number | null): void {
  const line = lineOf(overlay, 'cursor')
  if (overlay === null || line === null) return
  overlay.style.left = `${frame.area.left}px`
  overlay.style.width = `${frame.area.width}px`
  const share = cursorMs === null ? -1 : (cursorMs - frame.axis.fromMs) / (frame.axis.toMs - frame.axis.fromMs)
  line.style.visibility = share >= 0 && share <= 1 ? 'visible' : 'hidden'
  line.style.transform = `translateX(${share * frame.area.width}px)`
}

function showSelection(overlay: HTMLElement | null, frame: StackFrame | null, ends: [number, number] | null): void {
  const box = lineOf(overlay, 'selection')
  if (box === null) return
  if (frame === null || ends === null) {
    box.style.visibility = 'hidden'
    return
  }
  const px = (t: number) => (t - frame.axis.fromMs) / frame.msPerPx
  box.style.visibility = 'visible'
  box.style.left = `${px(Math.min(...ends))}px`
  box.style.width = `${px(Math.max(...ends)) - px(Math.min(...ends))}px`
}
