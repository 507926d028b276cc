import type { Span } from './shift-choice.ts'

/** The closer look within a shift; null while the whole of it is shown. */
export type Zoom = Span | null

/** Closest look: a few samples of the fastest device. */
export const SHORTEST_SPAN_MS = 200

/** Shows exactly `aMs`–`bMs` of the shift, in whichever order; null where that is all of it. */
export function zoomTo(shift: Span, aMs: number, bMs: number): Zoom {
  const middle = (aMs + bMs) / 2
  const half = Math.max(Math.abs(bMs - aMs), SHORTEST_SPAN_MS) / 2
  return within(shift, { fromMs: middle - half, toMs: middle + half })
}

/** Makes what is shown `factor` times as long around `aroundMs`, which keeps its place on the screen. */
export function zoomBy(shift: Span, zoom: Zoom, factor: number, aroundMs: number): Zoom {
  const { fromMs, toMs } = zoom ?? shift
  const length = toMs - fromMs
  const next = Math.max(length * factor, SHORTEST_SPAN_MS)
  const share = (aroundMs - fromMs) / length
  return within(shift, { fromMs: aroundMs - share * next, toMs: aroundMs + (1 - share) * next })
}

/** Moves what is shown by `byMs`, kept within the shift. */
export function panBy(shift: Span, zoom: Zoom, byMs: number): Zoom {
  if (zoom === null) return null
  return within(shift, { fromMs: zoom.fromMs + byMs, toMs: zoom.toMs + byMs })
}

/** Puts two fingers' times back under the fingers: where they were, and where they are as shares of the width. */
export function pinch(shift: Span, timesMs: readonly [number, number], shares: readonly [number, number]): Zoom {
  const apart = shares[1] - shares[0]
  if (Math.abs(apart) < 0.01) return zoomTo(shift, timesMs[0], timesMs[1])
  const length = (timesMs[1] - timesMs[0]) / apart
  if (!(length > 0)) return zoomTo(shift, timesMs[0], timesMs[1])
  const fromMs = timesMs[0] - shares[0] * Math.max(length, SHORTEST_SPAN_MS)
  return within(shift, { fromMs, toMs: fromMs + Math.max(length, SHORTEST_SPAN_MS) })
}

/** What is shown of a shift that has grown meanwhile: a look that reached its end stays at its end. */
export const shownOf = (shift: Span, zoom: Zoom): Span => within(shift, zoom ?? shift) ?? shift

function within(shift: Span, span: Span): Zoom {
  const length = span.toMs - span.fromMs
  if (length >= shift.toMs - shift.fromMs) return null
  const fromMs = Math.min(Math.max(span.fromMs, shift.fromMs), shift.toMs - length)
  return { fromMs, toMs: fromMs + length }
}
