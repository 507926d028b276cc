import type { KeyPress } from '../../_plots/trace-keys.ts'
import type { Span } from '../_model/shift-choice.ts'

const FAST_STEPS = 10
/** Share of the picture that a page key moves. */
const PAGE = 0.9

export interface StageActions {
  /** Puts the cursor to a time; null takes it away. */
  point(tMs: number | null): void
  zoomTo(aMs: number, bMs: number): void
  zoomBy(factor: number, aroundMs: number): void
  panBy(ms: number): void
  pinch(timesMs: readonly [number, number], shares: readonly [number, number]): void
  whole(): void
  /** Leads to the next flag (1) or the one before (−1). */
  flag(step: 1 | -1, fromMs: number): void
  /** Begins a note at a time. */
  note(tMs: number): void
}

export interface StagePicture {
  readonly axis: Span
  readonly msPerPx: number
}

/** What a key does on the focused bands; null when it does nothing, so that the browser keeps it. */
export function stageKey(
  press: KeyPress,
  { axis, msPerPx }: StagePicture,
  cursorMs: number | null,
  actions: StageActions,
): (() => void) | null {
  if (press.ctrlKey || press.metaKey || press.altKey) return null
  const at = cursorMs ?? (axis.fromMs + axis.toMs) / 2
  const step = msPerPx * (press.shiftKey ? FAST_STEPS : 1)
  const page = PAGE * (axis.toMs - axis.fromMs)
  const move = (tMs: number) => actions.point(Math.min(Math.max(tMs, axis.fromMs), axis.toMs))
  switch (press.key) {
    case 'ArrowLeft':
    case 'ArrowDown':
      return () => move(at - step)
    case 'ArrowRight':
    case 'ArrowUp':
      return () => move(at + step)
    case 'Home':
      return () => move(axis.fromMs)
    case 'End':
      return () => move(axis.toMs)
    case 'PageUp':
      return () => actions.panBy(-page)
    case 'PageDown':
      return () => actions.panBy(page)
    case '+':
    case '=':
      return () => actions.zoomBy(0.5, at)
    case '-':
      return () => actions.zoomBy(2, at)
    case 'g':
      return () => actions.flag(1, at)
    case 'G':
      return () => actions.flag(-1, at)
    case 'n':
    case 'Enter':
      return () => actions.note(at)
    case 'Escape':
      return () => {
        actions.point(null)
        actions.whole()
      }
    default:
      return null
  }
}
