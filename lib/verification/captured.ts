import type { Side } from '../../shared/sample.ts'
import type { Capture, CapturedSide } from '../../shared/schemas/verification/capture.ts'
import type { PlanCapture } from '../../shared/schemas/verification/plan.ts'
import { shortNumber } from '../statistics/words.ts'
import type { Part } from './figure.ts'
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

/** How long the stretch is that its samples are of, s. */
export const sampledSeconds = ({ fromMs, toMs, sampledFromMs }: Capture): number =>
  (toMs - (sampledFromMs ?? fromMs)) / 1000

/** Labels of required captures that are missing or too few; empty when all are there. */
export function missingCaptures(wanted: readonly PlanCapture[], evidence: Evidence): string {
  const lacking = wanted.filter(({ id, required, times }) => required && capturesOf(evidence, id).length < times)
  return lacking
    .map(({ label, times }) => (times > 1 ? `${label.toLowerCase()} (${times} of it)` : label.toLowerCase()))
    .join('; ')
}

/** A capture counts from this share of its length on: its ends fall between samples. */
const LONG_ENOUGH = 0.9

/** Captures that are shorter than the plan asks for, in words; empty when none is. Of one that is asked for once the newest counts. */
export function shortCaptures(wanted: readonly PlanCapture[], evidence: Evidence): string {
  return wanted
    .flatMap(({ id, label, seconds, times }) => {
      const taken = times > 1 ? capturesOf(evidence, id) : capturesOf(evidence, id).slice(-1)
      const shortest = Math.min(...taken.map(({ fromMs, toMs }) => (toMs - fromMs) / 1000))
      return shortest < LONG_ENOUGH * seconds
        ? [`${label.toLowerCase()} lasted ${shortNumber(shortest)} s of the ${seconds} s it takes`]
        : []
    })
    .join('; ')
}

/** A number told with a capture. */
export function toldWith(capture: Capture, id: string): number | undefined {
  const value = capture.values[id]
  return typeof value === 'number' && Number.isFinite(value) ? value : undefined
}

/**
 * Slope of a side's picture by least squares, N/s, with u from the scatter about the line (NIST/SEMATECH e-Handbook
 * 4.4.3.1); undefined with fewer than ten points.
 */
export function slopeOf(
  capture: Capture,
  side: Side,
): { readonly value: number; readonly u: number; readonly dof: number } | undefined {
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
  if (sxx === 0) return undefined
  const value = sxy / sxx
  const squares = points.reduce((sum, [t, y]) => sum + (y - meanY - value * (t - meanT)) ** 2, 0)
  return { value, u: Math.sqrt(squares / (n - 2) / sxx), dof: n - 2 }
}

/** A line that noise alone would show once in so many spectra is one. */
const ONCE_IN = 1000

/**
 * Amplitude of a line, N, with what it is known by. Where no line stands out it is 0 to within what the noise would hide:
 * 2σ √(ln(1000 n/2)/n) for n samples of white noise, taken as its U (a periodogram’s ordinate of noise has an
 * exponential tail; n/2 of them are looked at).
 */
export function amplitudeOf(
  line: Capture['lines'][number] | undefined,
  { noise, good }: CapturedSide,
): { readonly value: number; readonly parts: readonly Part[] } {
  if (line !== undefined)
    return { value: line.amplitude, parts: [{ name: 'amplitude of the line', contribution: line.u }] }
  const hidden =
    (2 * (noise ?? 0) * Math.sqrt(Math.log((ONCE_IN * Math.max(2, good)) / 2))) / Math.sqrt(Math.max(1, good))
  return { value: 0, parts: [{ name: 'a line that the noise would hide', contribution: hidden / 2 }] }
}

/** Samples a second of a side in a capture. */
export const rateOf = (capture: Capture, { samples }: CapturedSide): number =>
  samples / Math.max(1e-3, sampledSeconds(capture))
