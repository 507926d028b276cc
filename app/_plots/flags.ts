import { qualityFromByte, qualityOf } from '../../shared/quality.ts'
import type { RowSource } from './decimate.ts'
import { allowedMs, allowedSilenceMs, type GapRule } from './gap-rule.ts'
import type { GapReason } from './reading.ts'

/** A stretch of time in which a column has no number, or one that is only uncertain. */
export interface Flag {
  /** Index into the columns asked for; null when every column is without samples. */
  readonly column: number | null
  readonly kind: 'gap' | 'uncertain'
  readonly reason: GapReason
  readonly fromMs: number
  readonly toMs: number
}

/**
 * Every flagged stretch that touches `fromMs`–`toMs`, in order of its beginning. A stretch ends where
 * the next sample of another quality begins; the last one ends at `toMs` while it lasts.
 */
export function flagsBetween(
  source: RowSource,
  columns: readonly number[],
  fromMs: number,
  toMs: number,
  rule: GapRule,
): Flag[] {
  const start = Math.max(0, source.indexAtOrAfter(fromMs) - 1)
  const end = Math.min(source.length, source.indexAtOrAfter(toMs) + 1)
  const flags = holes(source, start, end, toMs, rule)
  for (const [index, column] of columns.entries()) {
    flags.push(...runs(source.qualities(column), source.times(), start, end, toMs, index))
  }
  return flags.filter((f) => f.toMs > fromMs && f.fromMs < toMs).sort((a, b) => a.fromMs - b.fromMs)
}

function holes(source: RowSource, start: number, end: number, toMs: number, rule: GapRule): Flag[] {
  const found: Flag[] = []
  const times = source.times()
  const envelopes = source.envelopes()
  const add = (from: number, to: number) =>
    found.push({ column: null, kind: 'gap', reason: 'no-samples', fromMs: from, toMs: to })
  for (let i = start + 1; i < end; i++) {
    const before = times[i - 1] ?? 0
    const after = times[i] ?? 0
    if (after - before > allowedMs(rule, envelopes[i - 1] === 1 || envelopes[i] === 1)) add(before, after)
  }
  const newest = times[source.length - 1]
  if (newest !== undefined && toMs - newest > allowedSilenceMs(rule, envelopes[source.length - 1] === 1))
    add(newest, toMs)
  return found
}

function runs(q: Uint8Array, times: Float64Array, start: number, end: number, toMs: number, column: number): Flag[] {
  const found: Flag[] = []
  let first = start
  for (let i = start; i < end; i++) {
    const byte = q[i] ?? 255
    if (i + 1 < end && q[i + 1] === byte) continue
    const reason = qualityFromByte(byte)
    const quality = qualityOf(reason)
    if (quality !== 'good') {
      const kind = quality === 'bad' ? 'gap' : 'uncertain'
      found.push({ column, kind, reason, fromMs: times[first] ?? 0, toMs: times[i + 1] ?? toMs })
    }
    first = i + 1
  }
  return found
}
