import type { Span } from './trace-drawer.ts'
import { pointedMs, type TraceActions, type TraceState } from './use-traces.ts'

const FAST_STEPS = 10
/** Share of the picture that a page key moves. */
const PAGE = 0.9

/** The part of a keyboard event that matters here. */
export interface KeyPress {
  readonly key: string
  readonly shiftKey: boolean
  readonly ctrlKey: boolean
  readonly metaKey: boolean
  readonly altKey: boolean
}

export interface KeyContext {
  readonly state: TraceState
  readonly actions: TraceActions
  onNextFlag(step: 1 | -1, fromMs: number): void
}

/** What a key does on the focused traces; null when it does nothing, so that the browser keeps it. */
export function keyAction(
  press: KeyPress,
  span: Span,
  { state, actions, onNextFlag }: KeyContext,
): (() => void) | null {
  if (press.ctrlKey || press.metaKey || press.altKey) return null
  const { fromMs, toMs, bucketMs } = span
  const at = pointedMs(state.pointed, span) ?? (fromMs + toMs) / 2
  const step = bucketMs * (press.shiftKey ? FAST_STEPS : 1)
  const page = PAGE * (toMs - fromMs)
  const move = (tMs: number) => actions.point({ tMs: Math.min(Math.max(tMs, fromMs), toMs) })
  switch (press.key) {
    case 'ArrowLeft':
    case 'ArrowDown':
      return () => move(at - step)
    case 'ArrowRight':
    case 'ArrowUp':
      return () => move(at + step)
    case 'Home':
      return () => move(fromMs)
    case 'End':
      return () => move(toMs)
    case 'PageUp':
      return () => actions.scrubTo(toMs - page)
    case 'PageDown':
      return () => actions.scrubTo(toMs + page)
    case '+':
    case '=':
      return () => actions.zoom(0.5, at)
    case '-':
      return () => actions.zoom(2, at)
    case ' ':
      return actions.togglePause
    case 'Enter':
      return () => actions.place(at)
    case 'a':
    case 'A':
      return () => actions.setCursor('a', at)
    case 'b':
    case 'B':
      return () => actions.setCursor('b', at)
    case 'g':
      return () => onNextFlag(1, at)
    case 'G':
      return () => onNextFlag(-1, at)
    case 'Escape':
      return state.cursors.a !== null || state.cursors.b !== null ? actions.clearCursors : backFromZoom(state, actions)
    default:
      return null
  }
}

function backFromZoom(state: TraceState, actions: TraceActions): (() => void) | null {
  return state.view.mode === 'paused' ? actions.resetZoom : null
}
