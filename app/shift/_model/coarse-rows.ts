import type { PictureLine } from './band-picture.ts'
import { firstEndingAfter, type HistoryRows } from './history-rows.ts'
import type { Span } from './shift-choice.ts'

interface CoarseCell {
  readonly mean: number
  readonly lo: number
  readonly hi: number
  readonly n: number
}

export interface CoarseRow {
  readonly fromMs: number
  readonly toMs: number
  /** In the order of the lines, in shown units; null without a good sample. */
  readonly cells: readonly (CoarseCell | null)[]
}

/** What is shown, in at most `most` stretches of equal length: means weighted by their good samples. */
export function coarseRows(
  rows: HistoryRows,
  lines: readonly PictureLine[],
  shown: Span,
  most: number,
): readonly CoarseRow[] {
  const length = (shown.toMs - shown.fromMs) / most
  return Array.from({ length: most }, (_, i): CoarseRow => {
    const fromMs = shown.fromMs + i * length
    const toMs = fromMs + length
    return { fromMs, toMs, cells: lines.map((line) => cellOf(rows, line, fromMs, toMs)) }
  })
}

function cellOf(rows: HistoryRows, { series, map }: PictureLine, fromMs: number, toMs: number): CoarseCell | null {
  const line = rows.lines.get(series)
  if (line === undefined) return null
  let [sum, n, lo, hi] = [0, 0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
  const middle = rows.bucketMs / 2
  for (let i = firstEndingAfter(rows, fromMs); i < rows.startsMs.length; i++) {
    const t = (rows.startsMs[i] ?? 0) + middle
    if (t >= toMs) break
    const mean = line.mean[i] ?? Number.NaN
    if (t < fromMs || Number.isNaN(mean)) continue
    const samples = Math.max(1, line.n[i] ?? 1)
    sum += mean * samples
    n += samples
    lo = Math.min(lo, line.min[i] ?? mean)
    hi = Math.max(hi, line.max[i] ?? mean)
  }
  if (n === 0) return null
  const inUnit = (si: number) => si * map.factor + map.offset
  const ends = [inUnit(lo), inUnit(hi)]
  return { mean: inUnit(sum / n), lo: Math.min(...ends), hi: Math.max(...ends), n }
}
