import { useEffect, useState } from 'react'
import type { Answer, Failure } from '../../_ui/ask.ts'
import type { Span } from './shift-choice.ts'

export interface Asked<T> {
  /** Newest good answer to this question; null before the first. */
  readonly value: T | null
  readonly failure: Failure | null
  again(): void
}

/** A followed shift grows every few seconds; what takes the store longer to tell is asked for this seldom. */
const SELDOM_MS = 30_000
const SETTLED_MS = 150

/**
 * Asks for something of a stretch of time, again when the question changes and seldom while only its end moves.
 *
 * @param of the question apart from its times: another one forgets the answer. Null asks nothing.
 */
export function useAsked<T>(
  of: string | null,
  span: Span,
  ask: (span: Span, signal: AbortSignal) => Promise<Answer<T>>,
): Asked<T> {
  const [state, setState] = useState<{ of: string | null; value: T | null; failure: Failure | null }>(NOT_ASKED)
  const [attempt, setAttempt] = useState(0)
  const slow = useSlow(of, span)
  // biome-ignore lint/correctness/useExhaustiveDependencies: `ask` is told by `of`; another attempt asks again
  useEffect(() => {
    if (of === null) return
    const asking = new AbortController()
    const timer = setTimeout(() => {
      ask(slow, asking.signal).then(
        (answer) =>
          setState((before) =>
            answer.ok
              ? { of, value: answer.value, failure: null }
              : { of, value: before.of === of ? before.value : null, failure: answer.failure },
          ),
        () => {}, // aborted: another question is on its way
      )
    }, SETTLED_MS)
    return () => {
      clearTimeout(timer)
      asking.abort()
    }
  }, [of, slow, attempt])
  const isMine = state.of === of
  return {
    value: isMine ? state.value : null,
    failure: isMine ? state.failure : null,
    again: () => setAttempt((n) => n + 1),
  }
}

const NOT_ASKED = { of: null, value: null, failure: null }

/** The stretch as it was at most a while ago; at once for another question. */
function useSlow(of: string | null, span: Span): Span {
  const [slow, setSlow] = useState({ of, span })
  const isOld =
    slow.of !== of ||
    Math.abs(span.toMs - slow.span.toMs) >= SELDOM_MS ||
    Math.abs(span.fromMs - slow.span.fromMs) >= SELDOM_MS
  useEffect(() => {
    if (isOld) setSlow({ of, span })
  }, [isOld, of, span])
  return isOld ? span : slow.span
}
