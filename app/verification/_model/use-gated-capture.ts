import { useCallback, useEffect, useRef, useState } from 'react'
import type { Side } from '../../../shared/sample.ts'
import type { CaptureAsk } from '../../../shared/schemas/verification/capture.ts'
import type { PlanCapture } from '../../../shared/schemas/verification/plan.ts'
import { ringOf, stream, useZoneNow } from '../../_stream/store.ts'
import { newKey } from '../../_ui/new-key.ts'
import { type Awake, useStayAwake } from '../../_ui/stay-awake.ts'
import { type GateLook, lookAtGate } from './gate.ts'
import { movedSoFar, type SideMoved } from './movement-so-far.ts'

const LOOK_MS = 200

interface Running {
  readonly spec: PlanCapture
  readonly values: CaptureAsk['values']
  readonly begunMs: number
  fromMs: number
}

export interface GatedCapture {
  /** Id of the capture that is under way; null while none is. */
  readonly running: string | null
  readonly look: GateLook | null
  /** Of a capture that waits for a movement, what has moved so far. */
  readonly moved: readonly SideMoved[]
  /** Whether the screen stays on meanwhile. */
  readonly awake: Awake
  start(spec: PlanCapture, values: CaptureAsk['values']): void
  cancel(): void
}

/** Takes one capture at a time: waits behind its gate, says for what, and hands over the stretch. */
export function useGatedCapture(
  zone: string,
  sides: readonly Side[],
  onTaken: (capture: CaptureAsk) => void,
): GatedCapture {
  const [running, setRunning] = useState<Running | null>(null)
  const [look, setLook] = useState<GateLook | null>(null)
  const [moved, setMoved] = useState<readonly SideMoved[]>([])
  const now = useZoneNow(zone)
  const held = useRef({ now, sides, onTaken })
  held.current = { now, sides, onTaken }
  const awake = useStayAwake(running !== null)
  useEffect(() => stream().want([zone]), [zone])

  const cancel = useCallback(() => {
    setRunning(null)
    setLook(null)
    setMoved([])
  }, [])

  useEffect(() => {
    if (running === null) return
    const timer = setInterval(() => {
      const ring = ringOf(zone)
      const nowMs = stream().gatewayNow()
      if (ring === null || nowMs === null || stream().link.phase !== 'live') {
        if (nowMs !== null) running.fromMs = nowMs
        setMoved([])
        setLook({ kind: 'waiting', share: 0, words: 'waits for the gateway', fromMs: running.fromMs })
        return
      }
      const { now: picture, sides: all, onTaken: taken } = held.current
      const { spec, begunMs, fromMs, values } = running
      const next = lookAtGate({ spec, ring, sides: all, now: picture, begunMs, fromMs, nowMs })
      running.fromMs = next.fromMs
      if (spec.gate === 'movement') setMoved(movedSoFar(ring, all, next.fromMs))
      if (next.kind === 'waiting') return setLook(next)
      cancel()
      taken({ key: newKey(), capture: spec.id, fromMs: Math.floor(next.fromMs), toMs: Math.ceil(next.toMs), values })
    }, LOOK_MS)
    return () => clearInterval(timer)
  }, [running, zone, cancel])

  const start = (spec: PlanCapture, values: CaptureAsk['values']) => {
    const nowMs = stream().gatewayNow()
    if (nowMs === null) return
    setLook({ kind: 'waiting', share: 0, words: 'begins', fromMs: nowMs })
    setRunning({ spec, values, begunMs: nowMs, fromMs: nowMs })
  }
  return { running: running?.spec.id ?? null, look, moved, awake, start, cancel }
}
