import { estimateDrift } from '../../lib/drift/drift-estimate.ts'
import { locationShift } from './location-shift.ts'

export interface Verdict {
  /** `measured`: a figure for which nothing was promised. */
  readonly state: 'held' | 'undecided' | 'broken' | 'measured'
  readonly text: string
}

export const verdict = (holds: boolean, text: string): Verdict => ({ state: holds ? 'held' : 'broken', text })

const HOURS_A_MONTH = 720

export interface Point {
  readonly tMs: number
  readonly value: number
}

/** A series' growth in a month: its Theil–Sen slope with the product's own interval (it respects that neighbours are alike). */
function growth(what: string, points: readonly Point[]) {
  // Looks come evenly by the machine's clock; a recording runs nearly evenly under it.
  const first = points[0]?.tMs ?? 0
  const widthMs = ((points.at(-1)?.tMs ?? 0) - first) / Math.max(1, points.length - 1)
  const tMs = points.map((_, i) => first + i * widthMs)
  const drift = estimateDrift({ tMs, y: points.map(({ value }) => value), widthMs })
  if (drift === undefined) return { text: `${what}: too few points (${points.length})`, month: null, U: 0 }
  const month = drift.rate * HOURS_A_MONTH
  const U = drift.U * HOURS_A_MONTH
  return {
    text: `${what}: ${signed(month)} ± ${U.toFixed(1)} MB in 30 days (95 %, ${points.length} points)`,
    month,
    U,
  }
}

/** Growth for which nothing is promised. */
export const measured = (what: string, points: readonly Point[]): Verdict => ({
  state: 'measured',
  text: growth(what, points).text,
})

/**
 * Whether a series is flat: its growth against a limit. Broken only when the whole interval lies beyond the limit;
 * undecided when a part.
 */
export function flat(what: string, points: readonly Point[], limitMb: number): Verdict {
  const { text: grown, month, U } = growth(what, points)
  if (month === null) return { state: 'undecided', text: grown }
  const text = `${grown}, limit +${limitMb} MB`
  if (month + U <= limitMb) return { state: 'held', text }
  return { state: month - U > limitMb ? 'broken' : 'undecided', text }
}

/**
 * Whether a series lies no higher at its end than at its beginning, however it came there: its last third against its
 * first. A slope asks for even growth; a step inside makes it wide and so undecided, and this is what sees the step.
 */
export function noHigher(what: string, points: readonly Point[], limitMb: number): Verdict {
  const third = Math.floor(points.length / 3)
  const values = points.map(({ value }) => value)
  const found = locationShift(values.slice(0, third), values.slice(values.length - third))
  if (found === undefined) return { state: 'undecided', text: `${what}: too few points (${points.length})` }
  const { shift, low, high } = found
  const text = `${what}, last third over first: ${signed(shift)} MB (${signed(low)} to ${signed(high)}, 95 %, ${third} points each), limit +${limitMb} MB`
  if (high <= limitMb) return { state: 'held', text }
  return { state: low > limitMb ? 'broken' : 'undecided', text }
}

const signed = (value: number) => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(1)}`
