import { useCallback, useEffect, useRef, useState } from 'react'
import type { GeometryView } from '../../../shared/schemas/config-write.ts'
import { ringOf, stream } from '../../_stream/store.ts'
import type { SteadyReading } from '../../_ui/steady-gate.ts'
import { lookAt, type SideProgress } from './capture.ts'

const LOOK_EVERY_MS = 200

interface CaptureProgress {
  readonly bySide: Readonly<Record<string, SideProgress>>
  /** 0 to 1, of the side that lags. */
  readonly share: number
  readonly words: string
}

export interface Captured {
  readonly readings: Readonly<Record<string, SteadyReading>>
  /** Gateway time, epoch ms. */
  readonly timeMs: number
}

export interface Capture {
  /** null while none is under way. */
  readonly progress: CaptureProgress | null
  start(sides: readonly string[], onTaken: (captured: Captured) => void): void
  cancel(): void
}

interface Running {
  readonly sides: readonly string[]
  readonly onTaken: (captured: Captured) => void
  sinceMs: number
  revision: string
}

/** Waits until each side has stood still since the start, then hands over what they read. */
export function useCapture(zone: string, view: GeometryView | null): Capture {
  const [progress, setProgress] = useState<CaptureProgress | null>(null)
  const running = useRef<Running | null>(null)
  const held = useRef(view)
  held.current = view

  const cancel = useCallback(() => {
    running.current = null
    setProgress(null)
  }, [])
  const look = useCallback(() => {
    const [run, facts] = [running.current, held.current]
    if (run === null || facts === null) return
    const ring = ringOf(zone)
    const isInForce = stream().hello?.revision === facts.revision
    if (ring === null || stream().link.phase !== 'live') {
      setProgress({ bySide: {}, share: 0, words: 'waits for the gateway' })
      return
    }
    if (!isInForce || run.revision !== facts.revision) {
      // Samples made with another zero or gain are not turned back into readings with these.
      run.sinceMs = ring.timeAt(ring.length - 1) || 0
      run.revision = facts.revision
      setProgress({ bySide: {}, share: 0, words: 'begins anew: the config has changed' })
      return
    }
    const next = looked(run, facts, ring)
    setProgress(next)
    const readings = steadyReadings(next.bySide, run.sides)
    if (readings === null) return
    cancel()
    run.onTaken({ readings, timeMs: ring.timeAt(ring.length - 1) })
  }, [zone, cancel])

  useEffect(() => stream().want([zone]), [zone])
  useEffect(() => {
    const timer = setInterval(look, LOOK_EVERY_MS)
    return () => clearInterval(timer)
  }, [look])

  const start: Capture['start'] = (sides, onTaken) => {
    const ring = ringOf(zone)
    const sinceMs = ring === null || ring.length === 0 ? 0 : ring.timeAt(ring.length - 1)
    running.current = { sides, onTaken, sinceMs, revision: view?.revision ?? '' }
    look()
  }
  return { progress, start, cancel }
}

function looked(run: Running, facts: GeometryView, ring: NonNullable<ReturnType<typeof ringOf>>): CaptureProgress {
  const entries = run.sides.flatMap((side) => {
    const cell = facts.zone.cells[side]
    return cell === undefined ? [] : [[side, lookAt(ring, side, cell, run.sinceMs)] as const]
  })
  const shares = entries.map(([, one]) => (one.kind === 'steady' ? 1 : one.share))
  const laggard = entries.find(([, one]) => one.kind === 'waiting')?.[1]
  return {
    bySide: Object.fromEntries(entries),
    share: Math.min(...shares),
    words: laggard?.kind === 'waiting' ? laggard.words : 'steady',
  }
}

function steadyReadings(
  bySide: Readonly<Record<string, SideProgress>>,
  sides: readonly string[],
): Record<string, SteadyReading> | null {
  if (sides.length === 0) return null
  const entries: [string, SteadyReading][] = []
  for (const side of sides) {
    const one = bySide[side]
    if (one?.kind !== 'steady') return null
    entries.push([side, one.result])
  }
  return Object.fromEntries(entries)
}
