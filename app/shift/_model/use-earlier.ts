import { useMemo } from 'react'
import type { ZoneHistory } from '../../../shared/schemas/history.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import type { Answer } from '../../_ui/ask.ts'
import { alignedBy, underneath } from './comparison.ts'
import { type HistoryRows, rowsOf } from './history-rows.ts'
import type { Span } from './shift-choice.ts'
import { slackBelowN } from './slack.ts'
import { type Asked, useAsked } from './use-asked.ts'
import { askHistory } from './use-history.ts'

export interface Earlier {
  /** Rows of the earlier stretch, moved under the present one: all of it, and the closer look. */
  readonly rows: readonly HistoryRows[]
  readonly asked: Asked<ZoneHistory>
}

/** The history of a stretch that is compared with, in the same number of rows and, looking closer, as fine. */
export function useEarlier(
  zone: ZoneInfo,
  of: string,
  span: Span | null,
  shift: Span,
  shown: Span,
  points: number,
): Earlier {
  const byMs = span === null ? 0 : alignedBy(shift, span)
  const under = span === null ? shift : underneath(shift, span)
  const key = span === null || points === 0 ? null : `${of} ${span.fromMs} ${span.toMs} ${points}`
  const ask = ({ fromMs, toMs }: Span, signal: AbortSignal): Promise<Answer<ZoneHistory>> =>
    askHistory(zone.id, fromMs, toMs, points, signal)
  const asked = useAsked(key, under, ask)
  const isCloser = shown.fromMs !== shift.fromMs || shown.toMs !== shift.toMs
  const look = { fromMs: shown.fromMs - byMs, toMs: shown.toMs - byMs }
  const closer = useAsked(isCloser && key !== null ? `${key} ${look.fromMs} ${look.toMs}` : null, look, ask)
  const rows = useMemo(
    () =>
      [asked.value, closer.value].flatMap((history) =>
        history === null ? [] : [rowsOf(history, slackBelowN(zone), byMs)],
      ),
    [asked.value, closer.value, zone, byMs],
  )
  return { rows, asked }
}
