import { useCallback, useRef } from 'react'
import { useRememberedText } from '../../_ui/remembered.ts'
import { EMPTY_SESSION, type Session, session as sessionSchema } from './session.ts'

const parsedOnce = new Map<string, Session>()

/** What a browser keeps of a calibration; the empty one for nothing, or for what an older page wrote. */
function readSession(kept: string): Session {
  const known = parsedOnce.get(kept)
  if (known !== undefined) return known
  let value: Session = EMPTY_SESSION
  try {
    const parsed = sessionSchema.safeParse(JSON.parse(kept))
    if (parsed.success) value = parsed.data
  } catch {
    // Nothing that can be read is nothing.
  }
  parsedOnce.clear()
  parsedOnce.set(kept, value)
  return value
}

/** The calibration of a zone that this browser keeps, and the way to change it. */
export function useSession(zone: string): readonly [Session, (change: (before: Session) => Session) => void] {
  const [kept, keep] = useRememberedText(`evenpull.calibration.${zone}`, '')
  // A capture ends long after it began: what was typed meanwhile must not be lost.
  const latest = useRef(EMPTY_SESSION)
  const remember = useRef(keep)
  const current = readSession(kept)
  latest.current = current
  remember.current = keep
  const change = useCallback((make: (before: Session) => Session) => {
    latest.current = make(latest.current)
    remember.current(JSON.stringify(latest.current))
  }, [])
  return [current, change]
}
