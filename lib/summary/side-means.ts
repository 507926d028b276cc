import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { SummarySide } from '../../shared/schemas/shift-summary.ts'
import type { Stretch } from './steady.ts'

const SIDES: readonly SummarySide['side'][] = ['drive_side', 'operator_side', 'single']

/**
 * Mean (weighted by good samples), lowest and highest of each side over the rows that lie wholly in one of the
 * stretches (ascending). A side without such a row is left out.
 */
export function sideMeans(history: ZoneHistory, stretches: readonly Stretch[]): readonly SummarySide[] {
  return SIDES.flatMap((side): SummarySide[] => {
    const envelope = history.series[side]
    if (envelope === undefined) return []
    let [sum, samples, lo, hi] = [0, 0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
    let at = 0
    for (const [i, startMs] of history.timesMs.entries()) {
      const endMs = startMs + history.bucketMs
      while ((stretches[at]?.toMs ?? Number.POSITIVE_INFINITY) < endMs) at++
      const [mean, min, max, n] = [envelope.mean[i], envelope.min[i], envelope.max[i], envelope.n[i] ?? 0]
      if (startMs < (stretches[at]?.fromMs ?? Number.POSITIVE_INFINITY)) continue
      if (mean == null || min == null || max == null || n === 0) continue
      sum += mean * n
      samples += n
      lo = Math.min(lo, min)
      hi = Math.max(hi, max)
    }
    return samples === 0 ? [] : [{ side, mean: sum / samples, lo, hi, samples }]
  })
}
