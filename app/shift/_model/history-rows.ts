import type { HistorySeries, ZoneHistory } from '../../../shared/schemas/history.ts'
import { blankSlack } from './slack.ts'

/** One series as it is drawn from: NaN where no good sample was. */
export interface RowsLine {
  readonly min: Float64Array
  readonly max: Float64Array
  readonly mean: Float64Array
  /** Good samples behind each row. */
  readonly n: Uint32Array
}

/** A stretch of history in typed arrays: buckets of absolute time, or the samples themselves. */
export interface HistoryRows {
  readonly fromMs: number
  readonly toMs: number
  /** Width of a row; 0 when each is one sample. */
  readonly bucketMs: number
  /** Start of each row, ascending. */
  readonly startsMs: Float64Array
  readonly lines: ReadonlyMap<HistorySeries, RowsLine>
  /** Oldest and newest sample kept; null when nothing is. */
  readonly keptFromMs: number | null
  readonly keptToMs: number | null
}

/**
 * The rows of an answer; `byMs` lays an earlier stretch under a present one. A share of a total under `slackBelowN`
 * has no number, though it was measured: see `blankSlack`.
 */
export function rowsOf(history: ZoneHistory, slackBelowN = 0, byMs = 0): HistoryRows {
  const lines = new Map<HistorySeries, RowsLine>()
  for (const [name, envelope] of Object.entries(history.series)) {
    if (envelope === undefined) continue
    lines.set(name as HistorySeries, {
      min: numbers(envelope.min),
      max: numbers(envelope.max),
      mean: numbers(envelope.mean),
      n: Uint32Array.from(envelope.n),
    })
  }
  for (const name of ['imbalance', 'residual'] as const) {
    const share = lines.get(name)
    if (share !== undefined) lines.set(name, blankSlack(share, lines.get('total'), slackBelowN))
  }
  return {
    fromMs: history.fromMs + byMs,
    toMs: history.toMs + byMs,
    bucketMs: history.bucketMs,
    startsMs: Float64Array.from(history.timesMs, (t) => t + byMs),
    lines,
    keptFromMs: history.keptFromMs === null ? null : history.keptFromMs + byMs,
    keptToMs: history.keptToMs === null ? null : history.keptToMs + byMs,
  }
}

const numbers = (values: readonly (number | null)[]): Float64Array => Float64Array.from(values, (v) => v ?? Number.NaN)

/** Index of the first row that ends after `tMs`; the number of rows when none does. */
export function firstEndingAfter({ startsMs, bucketMs }: HistoryRows, tMs: number): number {
  let low = 0
  let high = startsMs.length
  while (low < high) {
    const middle = (low + high) >>> 1
    if ((startsMs[middle] ?? 0) + bucketMs <= tMs) low = middle + 1
    else high = middle
  }
  return low
}

/**
 * Of several answers the one to draw `fromMs`–`toMs` from: the finest of those that cover nearly all of it, else
 * the one that covers most; null when none touches it.
 */
export function bestRows(known: readonly HistoryRows[], fromMs: number, toMs: number): HistoryRows | null {
  const covers = known
    .map((rows) => ({ rows, ms: Math.min(rows.toMs, toMs) - Math.max(rows.fromMs, fromMs) }))
    .filter(({ ms }) => ms > 0)
  const most = Math.max(...covers.map(({ ms }) => ms))
  const good = covers.filter(({ ms }) => ms >= most * NEARLY_ALL)
  return good.reduce<HistoryRows | null>(
    (best, { rows }) => (best === null || rows.bucketMs < best.bucketMs ? rows : best),
    null,
  )
}

/** While a shift is followed, an answer of a moment ago ends a little early: it is still the one to draw. */
const NEARLY_ALL = 0.97
