import { qualityFromByte } from '../../../shared/quality.ts'
import type { CellFacts } from '../../../shared/schemas/config-write.ts'
import { reasonInWords } from '../../_plots/reason.ts'
import type { ZoneRing } from '../../_stream/ring.ts'
import { STEADY_SAMPLES, STEADY_SECONDS, type SteadyReading, steadyGate } from '../../_ui/steady-gate.ts'

/** How far a capture has come, for one side. */
export type SideProgress =
  | { readonly kind: 'waiting'; readonly share: number; readonly words: string }
  | { readonly kind: 'steady'; readonly result: SteadyReading }

/**
 * Looks at what one side has read since `sinceMs` (epoch ms, excluded). Only good samples count, and one that is not
 * begins the wait anew; the newest `STEADY_SECONDS` (more where samples are slow) must stand still.
 */
export function lookAt(ring: ZoneRing, side: string, cell: CellFacts, sinceMs: number): SideProgress {
  const column = ring.columnOf(side)
  if (column < 0) return { kind: 'waiting', share: 0, words: 'no samples of this side' }
  const from = ring.indexAtOrAfter(sinceMs + 1e-3)
  const forces = ring.values(column)
  const qualities = ring.qualities(column)
  const joined = ring.envelopes()
  let first = from
  let reason: string | null = null
  for (let i = from; i < ring.length; i++) {
    const code = qualityFromByte(qualities[i] ?? 255)
    // A row in which only the other side came says nothing of this one.
    if (code === 'missing' || (code === 'good' && joined[i] === 0)) continue
    first = i + 1
    reason = joined[i] === 0 ? reasonInWords(code) : 'the samples come too thinned out'
  }
  const rows = ring.length - first
  if (rows === 0) return { kind: 'waiting', share: 0, words: reason ?? 'waits for samples' }
  first = Math.max(first, windowStart(ring, first))
  const times: number[] = []
  const readings: number[] = []
  for (let i = first; i < ring.length; i++) {
    if (qualityFromByte(qualities[i] ?? 255) !== 'good') continue
    times.push(ring.timeAt(i))
    // Streamed forces were made from readings by this very line.
    readings.push((forces[i] ?? Number.NaN) / cell.gainN + cell.zero)
  }
  const outcome = steadyGate(times, readings, cell.step ?? 0)
  if (outcome.kind === 'steady') return outcome
  if (outcome.kind === 'filling')
    return { kind: 'waiting', share: Math.max(0, outcome.share), words: 'collects samples that stand still' }
  const unit = cell.electricalUnit ?? 'counts'
  const digits = (x: number) => Number(x.toPrecision(2)).toString()
  return {
    kind: 'waiting',
    share: 1,
    words: `waits for it to settle: it moved ${digits(outcome.change)} ${unit} in ${outcome.seconds.toFixed(0)} s, its noise is ${digits(outcome.noise)} ${unit}`,
  }
}

/** Row from which on the window is long enough and holds samples enough; 0 while all is needed. */
function windowStart(ring: ZoneRing, first: number): number {
  const newest = ring.timeAt(ring.length - 1)
  const byTime = ring.indexAtOrAfter(newest - STEADY_SECONDS * 1000)
  const byCount = ring.length - STEADY_SAMPLES - 1
  return Math.max(first, Math.min(byTime, byCount))
}
