import { useCallback, useRef } from 'react'
import { useRememberedText } from '../../_ui/remembered.ts'
import { EMPTY_SESSION, type Session, session as sessionSchema } from './session.ts'

const parsedOnce = new Map<string, Session | null>()

/** What a browser keeps of a calibration; the empty one for nothing, null for what cannot be understood. */
function readSession(kept: string): Session | null {
  if (kept === '') return EMPTY_SESSION
  const known = parsedOnce.get(kept)
  if (known !== undefined) return known
  let value: Session | null = null
  try {
    const parsed = sessionSchema.safeParse(JSON.parse(kept))
    if (parsed.success) value = parsed.data
  } catch {
    // Not JSON: not understood.
  }
  parsedOnce.clear()
  parsedOnce.set(kept, value)
  return value
}

/** The calibration of a zone that this browser keeps, and the way to change it. */
export function useSession(zone: string): readonly [Session, (change: (before: Session) => Session) => void] {
  const [kept, keep] = useRememberedText(`evenpull.calibration.${zone}`, '')
  const [, keepAside] = useRememberedText(`evenpull.calibration.${zone}.not-understood`, '')
  // A capture ends long after it began: what was typed meanwhile must not be lost.
  const latest = useRef(EMPTY_SESSION)
  const remember = useRef(keep)
  const read = readSession(kept)
  const current = read ?? EMPTY_SESSION
  latest.current = current
  remember.current = (text) => {
    // What cannot be understood is not written over: it stays under a name of its own.
    if (read === null) keepAside(kept)
    keep(text)
  }
  const change = useCallback((make: (before: Session) => Session) => {
    latest.current = make(latest.current)
    remember.current(JSON.stringify(latest.current))
  }, [])
  return [current, change]
}
