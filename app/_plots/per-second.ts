import { qualityFromByte, qualityOf } from '../../shared/quality.ts'
import type { RowSource } from './decimate.ts'

/** One column over a stretch of time; mean, lo and hi are null without a usable sample. */
export interface Summary {
  readonly mean: number | null
  readonly lo: number | null
  readonly hi: number | null
  readonly samples: number
  readonly uncertain: number
  readonly bad: number
}

export interface SecondRow {
  /** Epoch ms of the whole second. */
  readonly startMs: number
  readonly columns: readonly Summary[]
}

/** Mean, lowest and highest of the samples at or after `fromMs` and before `toMs`. An envelope row hides the mean. */
export function summaryOf(source: RowSource, column: number, fromMs: number, toMs: number): Summary {
  const start = source.indexAtOrAfter(fromMs)
  const end = source.indexAtOrAfter(toMs)
  const lows = source.values(column)
  const highs = source.maxima(column)
  const qualities = source.qualities(column)
  const envelopes = source.envelopes()
  let lo = Number.POSITIVE_INFINITY
  let hi = Number.NEGATIVE_INFINITY
  let sum = 0
  let samples = 0
  let uncertain = 0
  let hasEnvelope = false
  for (let i = start; i < end; i++) {
    const quality = qualityOf(qualityFromByte(qualities[i] ?? 255))
    if (quality === 'bad') continue
    if (quality === 'uncertain') uncertain++
    if (envelopes[i] === 1) hasEnvelope = true
    const low = lows[i] ?? 0
    const high = highs[i] ?? 0
    if (low < lo) lo = low
    if (high > hi) hi = high
    sum += low
    samples++
  }
  const bad = end - start - samples
  if (samples === 0) return { mean: null, lo: null, hi: null, samples, uncertain, bad }
  return { mean: hasEnvelope ? null : sum / samples, lo, hi, samples, uncertain, bad }
}

/** One row for every whole second that `fromMs`–`toMs` touches, also for those without a sample. */
export function perSecond(source: RowSource, columns: readonly number[], fromMs: number, toMs: number): SecondRow[] {
  const rows: SecondRow[] = []
  for (let startMs = Math.floor(fromMs / 1000) * 1000; startMs < toMs; startMs += 1000) {
    const from = Math.max(startMs, fromMs)
    const to = Math.min(startMs + 1000, toMs)
    rows.push({ startMs, columns: columns.map((c) => summaryOf(source, c, from, to)) })
  }
  return rows
}
