import { qualityFromByte } from '../../../shared/quality.ts'
import type { ZoneNow } from '../../../shared/schemas/now.ts'
import type { PlanCapture } from '../../../shared/schemas/verification/plan.ts'
import type { ZoneRing } from '../../_stream/ring.ts'
import { STEADY_SECONDS, steadyGate } from '../../_ui/steady-gate.ts'

/** How far a capture has come. `fromMs` moves on whenever the gate shuts again. */
export type GateLook =
  | { readonly kind: 'waiting'; readonly share: number; readonly words: string; readonly fromMs: number }
  | { readonly kind: 'taken'; readonly fromMs: number; readonly toMs: number }

export interface GateInputs {
  readonly spec: Pick<PlanCapture, 'gate' | 'seconds'>
  readonly ring: ZoneRing
  readonly sides: readonly string[]
  readonly now: ZoneNow | null
  /** Epoch ms of the gateway: when it was begun, and from when on all was well. */
  readonly begunMs: number
  readonly fromMs: number
  readonly nowMs: number
}

/** At rest before a push or a step, s: what it is held against. */
export const REST_S = 2
/** Older than this, the newest sample is none, ms. */
const SILENT_MS = 1500
/** One look at a capture that is under way. */
export function lookAtGate(inputs: GateInputs): GateLook {
  const { spec, ring, nowMs, fromMs } = inputs
  const newest = ring.length === 0 ? Number.NaN : ring.timeAt(ring.length - 1)
  if (!(nowMs - newest <= SILENT_MS))
    return { kind: 'waiting', share: 0, words: 'waits for samples', fromMs: spec.gate === 'any' ? fromMs : nowMs }
  switch (spec.gate) {
    case 'any':
      return timed(fromMs, newest, spec.seconds, 'captures all that comes')
    case 'movement':
      return movement(inputs, newest)
    case 'steady':
      return steady(inputs, newest)
    case 'still':
      return still(inputs, newest)
  }
}

function timed(fromMs: number, toMs: number, seconds: number, words: string): GateLook {
  const share = (toMs - fromMs) / 1000 / seconds
  return share >= 1 ? { kind: 'taken', fromMs, toMs } : { kind: 'waiting', share: Math.max(0, share), words, fromMs }
}

function movement({ spec, fromMs }: GateInputs, newest: number): GateLook {
  const seconds = (newest - fromMs) / 1000
  const words =
    seconds < REST_S ? 'hold still: it takes what was before' : 'now: move it, hold, and let it come to rest'
  return timed(fromMs, newest, REST_S + spec.seconds, words)
}

function steady({ spec, now, fromMs }: GateInputs, newest: number): GateLook {
  const state = now?.steady.state ?? 'unknown'
  if (state !== 'steady' && state !== 'assumed')
    return {
      kind: 'waiting',
      share: 0,
      words: `waits: ${now?.steady.sentence ?? 'no picture from the gateway'}`,
      fromMs: newest,
    }
  const words =
    state === 'assumed' ? 'steady by the signals alone: confirm that speed and tension are constant' : 'steady'
  return timed(fromMs, newest, spec.seconds, words)
}

function still({ spec, ring, sides, fromMs }: GateInputs, newest: number): GateLook {
  for (const side of sides) {
    const { times, values, badMs } = samplesSince(ring, side, Math.max(fromMs, newest - STEADY_SECONDS * 1000))
    if (badMs !== null)
      return { kind: 'waiting', share: 0, words: 'waits for good samples of every side', fromMs: badMs + 1 }
    const outcome = steadyGate(times, values, 0)
    if (outcome.kind === 'moving')
      return {
        kind: 'waiting',
        share: 0,
        words: 'waits for it to stand still',
        fromMs: Math.max(fromMs, newest - 1000),
      }
  }
  // The still window itself is the least there is to judge.
  return timed(fromMs, newest, Math.max(spec.seconds, STEADY_SECONDS + 0.2), 'stands still')
}

function samplesSince(ring: ZoneRing, side: string, sinceMs: number) {
  const column = ring.columnOf(side)
  const values = ring.values(column)
  const qualities = ring.qualities(column)
  const times: number[] = []
  const good: number[] = []
  let badMs: number | null = null
  for (let i = ring.indexAtOrAfter(sinceMs); i < ring.length; i += 1) {
    const code = qualityFromByte(qualities[i] ?? 255)
    if (code === 'missing') continue
    if (code !== 'good') badMs = ring.timeAt(i)
    else {
      times.push(ring.timeAt(i))
      good.push(values[i] ?? Number.NaN)
    }
  }
  return { times, values: good, badMs }
}
