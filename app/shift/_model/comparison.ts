import type { StoredEvent } from '../../../shared/schemas/events.ts'
import { baselineData } from '../../../shared/schemas/notes.ts'
import { type ShiftPattern, type Span, shiftBefore, timeOf, timeText } from './shift-choice.ts'

/** What a shift is compared with, as it stands in the address: the hand-over baseline, or an earlier stretch. */
export type Comparison = { readonly kind: 'baseline' } | { readonly kind: 'stretch'; readonly span: Span } | null

export function comparisonOf(query: string | null): Comparison {
  if (query === 'baseline') return { kind: 'baseline' }
  const [fromMs, toMs] = (query ?? '').split('~').map(timeOf)
  return fromMs == null || toMs == null || !(toMs > fromMs) ? null : { kind: 'stretch', span: { fromMs, toMs } }
}

export function comparisonQuery(comparison: Comparison): string | null {
  if (comparison === null) return null
  if (comparison.kind === 'baseline') return 'baseline'
  return `${timeText(comparison.span.fromMs)}~${timeText(comparison.span.toMs)}`
}

export interface Baseline extends Span {
  readonly text: string
  readonly who: string | null
  /** When it was named. */
  readonly namedMs: number
}

/** The baseline that was named last; null when none can be read. */
export function newestBaseline(events: readonly StoredEvent[]): Baseline | null {
  const newest = events.filter(({ kind }) => kind === 'baseline').sort((a, b) => b.id - a.id)
  for (const { data, text, who, timeMs } of newest) {
    const read = baselineData.safeParse(data)
    if (read.success) return { fromMs: read.data.fromMs, toMs: read.data.toMs, text, who, namedMs: timeMs }
  }
  return null
}

/** The stretch that is compared with; null when there is none. */
export function comparedSpan(comparison: Comparison, baseline: Baseline | null): Span | null {
  if (comparison?.kind === 'stretch') return comparison.span
  return comparison?.kind === 'baseline' && baseline !== null ? { fromMs: baseline.fromMs, toMs: baseline.toMs } : null
}

/** By how much an earlier stretch is moved so that both begin at one place, ms. */
export const alignedBy = (shift: Span, earlier: Span): number => shift.fromMs - earlier.fromMs

/** As much of the earlier stretch as lies under the present one. */
export function underneath(shift: Span, earlier: Span): Span {
  return { fromMs: earlier.fromMs, toMs: Math.min(earlier.toMs, earlier.fromMs + (shift.toMs - shift.fromMs)) }
}

/** Stretches that are commonly compared with: the same hours of the day before and of a week before, and the shift before. */
export function usualComparisons(shift: Span, pattern: ShiftPattern): readonly { name: string; span: Span }[] {
  const days = (count: number): Span => ({
    fromMs: daysBefore(shift.fromMs, count),
    toMs: daysBefore(shift.toMs, count),
  })
  return [
    { name: 'the shift before', span: shiftBefore(pattern, shift.fromMs + 1) },
    { name: 'the same hours a day before', span: days(1) },
    { name: 'the same hours a week before', span: days(7) },
  ]
}

/** The same time by the local clock. */
function daysBefore(epochMs: number, count: number): number {
  const date = new Date(epochMs)
  date.setDate(date.getDate() - count)
  return date.getTime()
}
