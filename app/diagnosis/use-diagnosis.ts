import { useCallback, useEffect, useState } from 'react'
import { type ZoneDiagnosis, zoneDiagnosis } from '../../shared/schemas/zone-diagnosis.ts'
import { askGateway } from '../_ui/ask.ts'

/** What runs may change the answer: it is asked for again this often. */
const AGAIN_MS = 10_000

export interface DiagnosisState {
  /** Null before the first answer. */
  readonly told: ZoneDiagnosis | null
  readonly failure: string | null
  again(): void
}

/** What could be wrong with a zone, from what runs now and a record where one is named. */
export function useDiagnosis(zone: string, record: string | null): DiagnosisState {
  const [told, setTold] = useState<ZoneDiagnosis | null>(null)
  const [failure, setFailure] = useState<string | null>(null)
  const look = useCallback(async () => {
    const query = record === null ? '' : `?${new URLSearchParams({ record })}`
    const answer = await askGateway(`/api/zones/${encodeURIComponent(zone)}/diagnosis${query}`, zoneDiagnosis)
    if (answer.ok) setTold(answer.value)
    setFailure(answer.ok ? null : `${answer.failure.message} ${answer.failure.remedy}`)
  }, [zone, record])
  useEffect(() => {
    setTold(null)
    void look()
    const timer = setInterval(() => void look(), AGAIN_MS)
    return () => clearInterval(timer)
  }, [look])
  return { told, failure, again: () => void look() }
}
