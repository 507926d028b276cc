import { MOST_SHIFT_MS, type ShiftAnalysis, shiftAnalysis } from '../../../shared/schemas/shift.ts'
import { askGateway } from '../../_ui/ask.ts'
import type { Span } from './shift-choice.ts'
import { type Asked, useAsked } from './use-asked.ts'

/** Why drift is not told of a stretch; null when it is asked for. */
export function tooLong({ fromMs, toMs }: Span): string | null {
  return toMs - fromMs > MOST_SHIFT_MS ? 'Drift is told of at most 7 days at once: choose a shorter stretch.' : null
}

/** What has moved in a stretch, and against an earlier one. */
export function useAnalysis(zone: string, of: string, span: Span, earlier: Span | null): Asked<ShiftAnalysis> {
  const isAsked = tooLong(span) === null
  const compared = earlier !== null && tooLong(earlier) === null ? earlier : null
  const key = `${of} ${compared === null ? '' : `${compared.fromMs} ${compared.toMs}`}`
  return useAsked(isAsked ? key : null, span, ({ fromMs, toMs }, signal) => {
    const query = new URLSearchParams({ from: String(Math.round(fromMs)), to: String(Math.round(toMs)) })
    if (compared !== null) {
      query.set('baseline_from', String(Math.round(compared.fromMs)))
      query.set('baseline_to', String(Math.round(compared.toMs)))
    }
    return askGateway(`/api/zones/${encodeURIComponent(zone)}/shift?${query}`, shiftAnalysis, { signal })
  })
}
