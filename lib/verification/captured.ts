import type { Side } from '../../shared/sample.ts'
import type { Capture, CapturedSide, PlanCapture } from '../../shared/schemas/verification.ts'
import type { Evidence } from './test.ts'

/** Captures of one kind, oldest first. */
export const capturesOf = ({ captures }: Evidence, id: string): readonly Capture[] =>
  captures.filter(({ capture }) => capture === id).toSorted((a, b) => a.fromMs - b.fromMs)

/** The newest capture of one kind. */
export const newest = (evidence: Evidence, id: string): Capture | undefined => capturesOf(evidence, id).at(-1)

/** What a side did in it; undefined where it has no good sample. */
export function sideOf(capture: Capture | undefined, side: Side): CapturedSide | undefined {
  const of = capture?.sides[side]
  return of === undefined || of.good === 0 || of.electrical === null || of.force === null ? undefined : of
}

/** Labels of required captures that are missing or too few; empty when all are there. */
export function missingCaptures(wanted: readonly PlanCapture[], evidence: Evidence): string {
  const lacking = wanted.filter(({ id, required, times }) => required && capturesOf(evidence, id).length < times)
  return lacking
    .map(({ label, times }) => (times > 1 ? `${label.toLowerCase()} (${times} of it)` : label.toLowerCase()))
    .join('; ')
}

/** A number told with a capture. */
export function toldWith(capture: Capture, id: string): number | undefined {
  const value = capture.values[id]
  return typeof value === 'number' && Number.isFinite(value) ? value : undefined
}

/** Slope of a side's picture by least squares, N/s; undefined with fewer than ten points. */
export function slopeOf(capture: Capture, side: Side): number | undefined {
  const values = capture.trace.sides[side] ?? []
  const points = capture.trace.t.flatMap((t, i) => {
    const y = values[i]
    return y === null || y === undefined ? [] : [[t, y] as const]
  })
  const n = points.length
  if (n < 10) return undefined
  const meanT = points.reduce((sum, [t]) => sum + t, 0) / n
  const meanY = points.reduce((sum, [, y]) => sum + y, 0) / n
  const sxx = points.reduce((sum, [t]) => sum + (t - meanT) ** 2, 0)
  const sxy = points.reduce((sum, [t, y]) => sum + (t - meanT) * (y - meanY), 0)
  return sxx === 0 ? undefined : sxy / sxx
}
