import { useEffect, useState } from 'react'
import { type CalibrationResult, calibrationResult } from '../../../shared/schemas/compute-calibration.ts'
import { type Answer, askGateway } from '../../_ui/ask.ts'
import type { Prepared } from './request.ts'

/** Typing is not a question: ask when it has paused. */
const PAUSE_MS = 250

/** The gateway's computation of what is prepared; null while there is nothing to compute, or before the first answer. */
export function useFit(prepared: Prepared | null): Answer<CalibrationResult> | null {
  const body = prepared?.ok ? JSON.stringify(prepared.request) : null
  const [told, setTold] = useState<{ readonly body: string; readonly answer: Answer<CalibrationResult> } | null>(null)
  useEffect(() => {
    if (body === null) return
    const asking = new AbortController()
    const timer = setTimeout(() => {
      const options = { method: 'POST', body: JSON.parse(body) as unknown, signal: asking.signal }
      askGateway('/api/compute/calibration', calibrationResult, options)
        .then((answer) => setTold({ body, answer }))
        .catch(() => {}) // aborted: a newer question is on its way
    }, PAUSE_MS)
    return () => {
      clearTimeout(timer)
      asking.abort()
    }
  }, [body])
  // An answer to another question is no answer to this one.
  return told !== null && told.body === body ? told.answer : null
}
