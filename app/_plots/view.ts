/**
 * What stretch of time the traces show, as a state and the few steps that change it. Live follows the
 * gateway's clock; paused stands still on rows that were copied when the pause began.
 */
export const WINDOWS_MS = [10_000, 30_000, 60_000, 120_000, 300_000, 600_000] as const

export interface LiveView {
  readonly mode: 'live'
  readonly windowMs: number
}
export interface PausedView {
  readonly mode: 'paused'
  /** The window to come back to. */
  readonly windowMs: number
  readonly fromMs: number
  readonly toMs: number
  /** When the pause began, and the oldest row that can still be seen. */
  readonly pausedAtMs: number
  readonly oldestMs: number
}
export type View = LiveView | PausedView

/** Closest look: a few samples of the fastest device. */
export const SHORTEST_SPAN_MS = 200

export function chooseWindow(view: View, windowMs: number): View {
  if (view.mode === 'live') return { mode: 'live', windowMs }
  return within({ ...view, windowMs, fromMs: view.toMs - windowMs })
}

/** Stops the picture at `nowMs`; a paused view stays as it is. */
export function pause(view: View, nowMs: number, oldestMs: number): PausedView {
  if (view.mode === 'paused') return view
  const { windowMs } = view
  return { mode: 'paused', windowMs, fromMs: nowMs - windowMs, toMs: nowMs, pausedAtMs: nowMs, oldestMs }
}

export function resume(view: View): LiveView {
  return { mode: 'live', windowMs: view.windowMs }
}

/** Moves the view so that it ends at `toMs`, keeping its length. */
export function scrubTo(view: PausedView, toMs: number): PausedView {
  return within({ ...view, fromMs: toMs - (view.toMs - view.fromMs), toMs })
}

/** Shows exactly `aMs`–`bMs`, in whichever order; not closer than `SHORTEST_SPAN_MS`. */
export function zoomTo(view: PausedView, aMs: number, bMs: number): PausedView {
  const middle = (aMs + bMs) / 2
  const half = Math.max(Math.abs(bMs - aMs), SHORTEST_SPAN_MS) / 2
  return within({ ...view, fromMs: middle - half, toMs: middle + half })
}

/** Makes the span `factor` times as long around `aroundMs`, which keeps its place on the screen. */
export function zoomBy(view: PausedView, factor: number, aroundMs: number): PausedView {
  const span = view.toMs - view.fromMs
  const longest = Math.max(view.pausedAtMs - view.oldestMs, view.windowMs)
  const next = Math.min(Math.max(span * factor, SHORTEST_SPAN_MS), longest)
  const share = (aroundMs - view.fromMs) / span
  const fromMs = aroundMs - share * next
  return within({ ...view, fromMs, toMs: fromMs + next })
}

/** Undoes zoom and scrub: the window as it was when the pause began. */
export function resetZoom(view: PausedView): PausedView {
  return { ...view, fromMs: view.pausedAtMs - view.windowMs, toMs: view.pausedAtMs }
}

export function isZoomed(view: View): boolean {
  return view.mode === 'paused' && (view.toMs !== view.pausedAtMs || view.toMs - view.fromMs !== view.windowMs)
}

/** The window one step shorter (−1) or longer (+1) in the list, or the same at its end. */
export function neighbourWindow(windowMs: number, step: -1 | 1): number {
  const index = WINDOWS_MS.findIndex((w) => w >= windowMs)
  return WINDOWS_MS[(index === -1 ? WINDOWS_MS.length - 1 : index) + step] ?? windowMs
}

/** Shifts a span back into what was recorded, without changing its length. */
function within(view: PausedView): PausedView {
  const span = view.toMs - view.fromMs
  const earliestEnd = Math.min(view.oldestMs + span, view.pausedAtMs)
  const toMs = Math.min(Math.max(view.toMs, earliestEnd), view.pausedAtMs)
  return { ...view, fromMs: toMs - span, toMs }
}

/** The stretch of time to draw. Live ends on a whole bucket, so that the picture moves by whole pixels. */
export function spanOf(view: View, nowMs: number, widthPx: number): { fromMs: number; toMs: number; bucketMs: number } {
  const length = view.mode === 'live' ? view.windowMs : view.toMs - view.fromMs
  const bucketMs = length / Math.max(1, Math.round(widthPx))
  if (view.mode === 'paused') return { fromMs: view.fromMs, toMs: view.toMs, bucketMs }
  const toMs = Math.floor(nowMs / bucketMs) * bucketMs
  return { fromMs: toMs - length, toMs, bucketMs }
}
