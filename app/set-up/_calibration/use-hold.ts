import { useEffect, useRef } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { Hold } from './session.ts'
import type { Capture } from './use-capture.ts'

/** Readings follow each other at once this long, s; then one every so often is enough for what creep is told from. */
const DENSE_SECONDS = 120
const PAUSE_MS = 20_000

/**
 * Reads on while a weight hangs: one steady reading after another, each dated at its middle. A page that was left goes
 * on where it comes back; what was not read meanwhile is missing and nothing else.
 */
export function useHold(
  hold: Hold | null,
  capture: Capture,
  sides: readonly Side[],
  onReading: (taken: Hold['readings'][number]) => void,
): void {
  // A page that was just opened does not know its sides yet: nothing can be read of none.
  const startMs = hold === null || hold.endMs !== null || sides.length === 0 ? null : hold.startMs
  const latest = useRef({ capture, sides, onReading })
  latest.current = { capture, sides, onReading }
  useEffect(() => {
    if (startMs === null) return
    let timer: ReturnType<typeof setTimeout> | undefined
    const next = () => {
      const { capture: now, sides: read } = latest.current
      now.start(read, ({ readings, timeMs }) => {
        const longest = Math.max(...Object.values(readings).map(({ seconds }) => seconds))
        latest.current.onReading({ timeMs: timeMs - (longest * 1000) / 2, readings: { ...readings } })
        timer = setTimeout(next, (timeMs - startMs) / 1000 < DENSE_SECONDS ? 0 : PAUSE_MS)
      })
    }
    next()
    return () => {
      clearTimeout(timer)
      latest.current.capture.cancel()
    }
  }, [startMs])
}
