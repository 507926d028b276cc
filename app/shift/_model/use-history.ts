import { useEffect, useMemo, useRef, useState } from 'react'
import { type ZoneHistory, zoneHistory } from '../../../shared/schemas/history.ts'
import type { ZoneInfo } from '../../../shared/schemas/zones.ts'
import { askGateway, type Failure } from '../../_ui/ask.ts'
import { type HistoryRows, rowsOf } from './history-rows.ts'
import type { Span } from './shift-choice.ts'
import { slackBelowN } from './slack.ts'

/** A hand that zooms is waited for this long, so that not every step asks the store. */
const SETTLED_MS = 180
/** Closer looks kept to come back to without asking. */
const LOOKS_KEPT = 8

export interface HistoryState {
  /** Answers to draw from: the whole shift and closer looks at it. */
  readonly known: readonly HistoryRows[]
  /** Newest answer over the whole shift; null before the first. */
  readonly whole: ZoneHistory | null
  /** What is shown is asked for and not there yet. */
  readonly isLoading: boolean
  readonly failure: Failure | null
  retry(): void
}

interface Looks {
  readonly of: string
  readonly whole: { readonly history: ZoneHistory; readonly rows: HistoryRows } | null
  readonly closer: readonly HistoryRows[]
}

const NO_LOOKS: Looks = { of: '', whole: null, closer: [] }

/**
 * Asks the store for what is shown and for nothing else: the whole shift first, then each closer look, a moment
 * after the hand has come to rest. A look that is no longer shown is not waited for; the picture before it stays.
 *
 * @param of what the shift belongs to: another one forgets every answer.
 */
export function useHistory(zone: ZoneInfo, of: string, shift: Span, shown: Span, points: number): HistoryState {
  const [looks, setLooks] = useState<Looks>(NO_LOOKS)
  const [isLoading, setLoading] = useState(true)
  const [failure, setFailure] = useState<Failure | null>(null)
  const [attempt, setAttempt] = useState(0)
  const isWhole = shown.fromMs === shift.fromMs && shown.toMs === shift.toMs
  const hasWhole = looks.of === of && looks.whole !== null
  // The whole first, also where a link leads to a closer look: it is what stays when the hand goes on.
  const isOfWhole = isWhole || !hasWhole
  const { fromMs, toMs } = isOfWhole ? shift : withEdges(shown, shift)
  const asked = useRef('')

  // biome-ignore lint/correctness/useExhaustiveDependencies: another attempt asks again
  useEffect(() => {
    if (points === 0) return
    const asking = new AbortController()
    const ask = () => {
      askHistory(zone.id, fromMs, toMs, points, asking.signal).then(
        (answer) => {
          setLoading(false)
          setFailure(answer.ok ? null : answer.failure)
          if (answer.ok) setLooks((before) => withLook(before, of, answer.value, isOfWhole, slackBelowN(zone)))
        },
        () => {}, // aborted: another look is on its way
      )
    }
    setLoading(true)
    const isSameShift = asked.current === of
    asked.current = of
    const timer = setTimeout(ask, isSameShift ? SETTLED_MS : 0)
    return () => {
      clearTimeout(timer)
      asking.abort()
    }
  }, [zone, of, fromMs, toMs, isOfWhole, points, attempt])

  return useMemo((): HistoryState => {
    const mine = looks.of === of ? looks : NO_LOOKS
    return {
      known: [...(mine.whole === null ? [] : [mine.whole.rows]), ...mine.closer],
      whole: mine.whole?.history ?? null,
      isLoading,
      failure,
      retry: () => setAttempt((n) => n + 1),
    }
  }, [looks, of, isLoading, failure])
}

/** One answer of the store. Throws only when aborted. */
export function askHistory(zone: string, fromMs: number, toMs: number, points: number, signal: AbortSignal) {
  const query = new URLSearchParams({
    from: String(Math.round(fromMs)),
    to: String(Math.round(toMs)),
    points: String(points),
  })
  return askGateway(`/api/zones/${encodeURIComponent(zone)}/history?${query}`, zoneHistory, { signal })
}

/** A little more than is shown, so that the lines run to both edges. */
function withEdges({ fromMs, toMs }: Span, shift: Span): Span {
  const edge = EDGE * (toMs - fromMs)
  return { fromMs: Math.max(shift.fromMs, fromMs - edge), toMs: Math.min(shift.toMs, toMs + edge) }
}

const EDGE = 0.02

function withLook(before: Looks, of: string, history: ZoneHistory, isWhole: boolean, slackBelow: number): Looks {
  const kept = before.of === of ? before : { ...NO_LOOKS, of }
  const rows = rowsOf(history, slackBelow)
  return isWhole
    ? { ...kept, whole: { history, rows } }
    : { ...kept, closer: [...kept.closer, rows].slice(-LOOKS_KEPT) }
}
