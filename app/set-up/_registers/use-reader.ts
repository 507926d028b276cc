import { useCallback, useEffect, useRef, useState } from 'react'
import type { RegisterView, RegisterViewQuery } from '../../../shared/schemas/register-view.ts'
import { type ReadFailure, readRegisters } from './read-registers.ts'

const EVERY_MS = 1000

export interface Reader {
  /** The last good answer, kept beside a later failure. */
  readonly view: RegisterView | null
  readonly failure: ReadFailure | null
  readonly isReading: boolean
  readonly isRepeating: boolean
  readOnce(query: RegisterViewQuery): void
  repeat(query: RegisterViewQuery): void
  stop(): void
}

/** Reads once, or once a second after the answer before; rests while the page is hidden. */
export function useReader(): Reader {
  const [view, setView] = useState<RegisterView | null>(null)
  const [failure, setFailure] = useState<ReadFailure | null>(null)
  const [isReading, setReading] = useState(false)
  const [isRepeating, setRepeating] = useState(false)
  const running = useRef<AbortController | null>(null)

  const stop = useCallback(() => {
    running.current?.abort()
    running.current = null
    setRepeating(false)
    setReading(false)
  }, [])
  useEffect(() => () => running.current?.abort(), [])

  const start = useCallback(
    async (query: RegisterViewQuery, repeats: boolean) => {
      stop()
      const control = new AbortController()
      running.current = control
      setRepeating(repeats)
      do {
        if (!document.hidden) {
          setReading(true)
          const result = await readRegisters(query, control.signal).catch(() => null)
          if (control.signal.aborted || result === null) return
          setReading(false)
          if (result.ok) setView(result.view)
          setFailure(result.ok ? null : result.failure)
        }
        if (repeats) await pause(EVERY_MS, control.signal)
      } while (repeats && !control.signal.aborted)
    },
    [stop],
  )
  const readOnce = useCallback((query: RegisterViewQuery) => void start(query, false), [start])
  const repeat = useCallback((query: RegisterViewQuery) => void start(query, true), [start])
  return { view, failure, isReading, isRepeating, readOnce, repeat, stop }
}

function pause(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, ms)
    signal.addEventListener('abort', () => {
      clearTimeout(timer)
      resolve()
    })
  })
}
