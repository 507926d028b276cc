import { MOST_SHIFT_MS, type ShiftAnalysis, shiftAnalysis } from '../../../shared/schemas/shift.ts'
import { askGateway } from '../../_ui/ask.ts'
import type { Span } from './shift-choice.ts'
import { type Asked, useAsked } from './use-asked.ts'

/** Why drift is not told of a stretch; null when it is asked for. */
export function tooLong({ fromMs, toMs }: Span): string | null {
  return toMs - fromMs > MOST_SHIFT_MS ? 'Drift is told of at most 7 days at once: choose a shorter stretch.' : null
}

/** What a stretch is compared with, as part of the question: while one that is compared with itself grows, it stays the same. */
export function comparedKey(span: Span, earlier: Span | null): string {
  if (earlier === null) return ''
  return earlier === span ? 'itself' : `${earlier.fromMs} ${earlier.toMs}`
}

/** What has moved in a stretch, and against an earlier one, or itself: means come with a comparison alone. */
export function useAnalysis(zone: string, of: string, span: Span, earlier: Span | null): Asked<ShiftAnalysis> {
  const isAsked = tooLong(span) === null
  const compared = earlier !== null && tooLong(earlier) === null ? earlier : null
  const isItself = compared === span
  const key = `${of} ${comparedKey(span, compared)}`
  return useAsked(isAsked ? key : null, span, (asked, signal) => {
    const query = new URLSearchParams({ from: whole(asked.fromMs), to: whole(asked.toMs) })
    const against = isItself ? asked : compared
    if (against !== null) {
      query.set('baseline_from', whole(against.fromMs))
      query.set('baseline_to', whole(against.toMs))
    }
    return askGateway(`/api/zones/${encodeURIComponent(zone)}/shift?${query}`, shiftAnalysis, { signal })
  })
}

const whole = (ms: number): string => String(Math.round(ms))
