import { useCallback, useEffect, useState } from 'react'
import type { z } from 'zod'
import { type Asking, askGateway, type Failure } from '../../_ui/ask.ts'

export interface Asked<T> {
  /** The newest answer; null before the first. */
  readonly told: T | null
  /** Why the newest question brought no answer. */
  readonly failure: Failure | null
  again(): void
  /** Puts an answer that came otherwise in its place. */
  tell(value: T): void
}

const never = () => false

/**
 * What the gateway says to a question, asked once or every so many ms until an answer is the last. A null path asks
 * nothing. `asking` and `isLast` must be the same from one render to the next.
 */
export function useAsked<Schema extends z.ZodType>(
  path: string | null,
  schema: Schema,
  everyMs: number | null = null,
  asking?: Asking,
  isLast: (answer: z.output<Schema>) => boolean = never,
): Asked<z.output<Schema>> {
  const [told, setTold] = useState<z.output<Schema> | null>(null)
  const [failure, setFailure] = useState<Failure | null>(null)
  const [round, setRound] = useState(0)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another round asks again
  useEffect(() => {
    if (path === null) return
    const ending = new AbortController()
    let timer: ReturnType<typeof setTimeout> | undefined
    const look = async () => {
      const answer = await askGateway(path, schema, { ...asking, signal: ending.signal }).catch(() => null)
      if (answer === null || ending.signal.aborted) return
      if (answer.ok) setTold(answer.value)
      setFailure(answer.ok ? null : answer.failure)
      if (everyMs !== null && !(answer.ok && isLast(answer.value))) timer = setTimeout(() => void look(), everyMs)
    }
    void look()
    return () => {
      ending.abort()
      clearTimeout(timer)
    }
  }, [path, schema, everyMs, asking, isLast, round])
  return { told, failure, again: useCallback(() => setRound((n) => n + 1), []), tell: setTold }
}
