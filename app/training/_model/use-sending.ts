import { useState } from 'react'
import type { Answer, Failure } from '../../_ui/ask.ts'

export interface Sending {
  readonly isBusy: boolean
  /** Why the last one brought nothing; null: it did, or is under way. */
  readonly failure: Failure | null
  /** Sends one at a time: a second press while one is under way does nothing. Resolves to the answer, null without one. */
  send<T>(ask: () => Promise<Answer<T>>): Promise<T | null>
}

export function useSending(): Sending {
  const [isBusy, setBusy] = useState(false)
  const [failure, setFailure] = useState<Failure | null>(null)
  return {
    isBusy,
    failure,
    async send(ask) {
      if (isBusy) return null
      setBusy(true)
      setFailure(null)
      const answer = await ask()
      setBusy(false)
      if (answer.ok) return answer.value
      setFailure(answer.failure)
      return null
    },
  }
}
