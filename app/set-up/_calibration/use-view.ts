import { useEffect, useState } from 'react'
import { type GeometryView, geometryView } from '../../../shared/schemas/config-write.ts'
import { useHello } from '../../_stream/store.ts'
import { type Answer, askGateway } from '../../_ui/ask.ts'

/** What the config has of a zone and its cells, read again whenever another revision is in force. */
export function useZoneView(zone: string): Answer<GeometryView> | null {
  const revision = useHello()?.revision ?? null
  const [answer, setAnswer] = useState<Answer<GeometryView> | null>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: another revision is another answer
  useEffect(() => {
    const asking = new AbortController()
    askGateway(`/api/zones/${encodeURIComponent(zone)}/geometry`, geometryView, { signal: asking.signal })
      .then(setAnswer)
      .catch(() => {}) // aborted: another question is on its way
    return () => asking.abort()
  }, [zone, revision])
  return answer
}
