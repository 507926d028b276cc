import { type QualityCode, qualityFromByte, qualityOf } from '../../shared/quality.ts'
import type { RowSource } from './decimate.ts'
import { allowedMs, allowedSilenceMs, type GapRule } from './gap-rule.ts'

/** Why there is no number: a bad quality, or no sample at all. */
export type GapReason = QualityCode | 'no-samples'

/** What one column shows at a cursor. */
export type Reading =
  | {
      readonly kind: 'value'
      /** Mean of the samples under the cursor; null where only lowest and highest are known. */
      readonly mean: number | null
      readonly lo: number
      readonly hi: number
      readonly samples: number
      /** Samples under the cursor that are not a number: left out, but said. */
      readonly bad: number
      /** Set when any of them is uncertain. */
      readonly uncertain: QualityCode | null
    }
  | {
      readonly kind: 'gap'
      readonly reason: GapReason
      readonly fromMs: number
      /** Null while the gap lasts. */
      readonly toMs: number | null
    }
  | { readonly kind: 'outside' }

/**
 * The samples within `halfMs` of `tMs`; where there are none, the nearest one if no gap lies there.
 * 'outside' before the oldest row and of an empty source.
 */
export function readingAt(source: RowSource, column: number, tMs: number, halfMs: number, rule: GapRule): Reading {
  let start = source.indexAtOrAfter(tMs - halfMs)
  let end = source.indexAtOrAfter(tMs + halfMs)
  if (source.length === 0 || (end === 0 && tMs < source.timeAt(0))) return { kind: 'outside' }
  if (start === end) {
    const before = start - 1
    const after = start
    const hole = holeBetween(source, column, before, after, tMs, rule)
    if (hole !== null) return hole
    const isAfterNearer = source.timeAt(after) - tMs < tMs - source.timeAt(before)
    start = isAfterNearer || before < 0 ? after : before
    end = start + 1
  }
  return summarise(source, column, start, end)
}

/** The hole that `tMs` lies in; null where none is. A short one after a bad row belongs to that row, as in `flagsBetween`. */
function holeBetween(
  source: RowSource,
  column: number,
  before: number,
  after: number,
  tMs: number,
  rule: GapRule,
): Reading | null {
  const fromMs = source.timeAt(before)
  const isOpen = after >= source.length
  const toMs = isOpen ? tMs : source.timeAt(after)
  const envelopes = source.envelopes()
  const isEnvelope = envelopes[before] === 1 || envelopes[after] === 1
  const allowed = isOpen ? allowedSilenceMs(rule, isEnvelope) : allowedMs(rule, isEnvelope)
  if (!(toMs - fromMs > allowed)) return null
  const isBad = qualityOf(qualityFromByte(source.qualities(column)[before] ?? 255)) === 'bad'
  if (isBad && toMs - fromMs <= rule.pausesMs) return badRun(source, column, before)
  return { kind: 'gap', reason: 'no-samples', fromMs, toMs: isOpen ? null : toMs }
}

function summarise(source: RowSource, column: number, start: number, end: number): Reading {
  const lows = source.values(column)
  const highs = source.maxima(column)
  const qualities = source.qualities(column)
  const envelopes = source.envelopes()
  let lo = Number.POSITIVE_INFINITY
  let hi = Number.NEGATIVE_INFINITY
  let sum = 0
  let samples = 0
  let hasEnvelope = false
  let uncertain: QualityCode | null = null
  for (let i = start; i < end; i++) {
    const code = qualityFromByte(qualities[i] ?? 255)
    if (qualityOf(code) === 'bad') continue
    if (code !== 'good') uncertain = code
    if (envelopes[i] === 1) hasEnvelope = true
    lo = Math.min(lo, lows[i] ?? lo)
    hi = Math.max(hi, highs[i] ?? hi)
    sum += lows[i] ?? 0
    samples++
  }
  if (samples === 0) return badRun(source, column, start)
  const mean = hasEnvelope ? null : sum / samples
  return { kind: 'value', mean, lo, hi, samples, bad: end - start - samples, uncertain }
}

/** The whole run of samples around row `at` that share its reason. */
function badRun(source: RowSource, column: number, at: number): Reading {
  const qualities = source.qualities(column)
  const byte = qualities[at] ?? 255
  let first = at
  while (first > 0 && qualities[first - 1] === byte) first--
  let next = at + 1
  while (next < source.length && qualities[next] === byte) next++
  return {
    kind: 'gap',
    reason: qualityFromByte(byte),
    fromMs: source.timeAt(first),
    toMs: next < source.length ? source.timeAt(next) : null,
  }
}

/** b − a where both are known, else null. */
export function difference(a: Reading, b: Reading): number | null {
  if (a.kind !== 'value' || b.kind !== 'value' || a.mean === null || b.mean === null) return null
  return b.mean - a.mean
}
