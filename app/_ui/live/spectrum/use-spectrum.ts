import { useEffect, useState } from 'react'
import { type ZoneSpectrum, zoneSpectrum } from '../../../../shared/schemas/spectrum.ts'
import { useAge } from '../../../_stream/age.ts'
import { useLink } from '../../../_stream/store.ts'
import { type Answer, askGateway, type Failure } from '../../ask.ts'

/** Asked anew this long after each answer. */
const EVERY_MS = 2000
/** A spectrum older than this is not shown: it would pass for that of now. */
const OLD_SECONDS = 10

export interface SpectrumSeen {
  /** Null before the first answer and once it is too old. */
  readonly spectrum: ZoneSpectrum | null
  /** Seconds since it was made; null without one. */
  readonly age: number | null
  /** Why there is none, or why the one shown is not renewed. */
  readonly failure: Failure | null
}

/** The zone's spectrum over the last `seconds`, asked for again and again while the panel is open. */
export function useSpectrum(zoneId: string, seconds: number): SpectrumSeen {
  const [answer, setAnswer] = useState<Answer<ZoneSpectrum> | null>(null)
  const [kept, setKept] = useState<ZoneSpectrum | null>(null)
  const isLive = useLink().phase === 'live'
  useEffect(() => {
    const asking = new AbortController()
    let timer: ReturnType<typeof setTimeout> | undefined
    const ask = async () => {
      const path = `/api/zones/${encodeURIComponent(zoneId)}/spectrum?seconds=${seconds}`
      const told = await askGateway(path, zoneSpectrum, { signal: asking.signal })
      setAnswer(told)
      if (told.ok) setKept(told.value)
      timer = setTimeout(() => void ask().catch(ignoreAbort), EVERY_MS)
    }
    void ask().catch(ignoreAbort)
    return () => {
      asking.abort()
      clearTimeout(timer)
    }
  }, [zoneId, seconds])
  const age = useAge(kept?.timeMs ?? null)
  const isYoung = isLive && age !== null && age < OLD_SECONDS
  return {
    spectrum: isYoung ? kept : null,
    age: isYoung ? age : null,
    failure: answer?.ok === false ? answer.failure : null,
  }
}

const ignoreAbort = () => {} // aborted: another question is on its way
