import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { SummaryGap } from '../../shared/schemas/shift-summary.ts'

type Side = SummaryGap['sides'][number]
const SIDES: readonly Side[] = ['drive_side', 'operator_side', 'single']

/**
 * Stretches of a history in which a side has no good sample, oldest first; those of two sides that begin and end
 * together are one. Told by rows: a shorter loss within a row is none. Rows that are missing at either end count, as
 * far as the answer reaches. Full-rate answers (rows of 0 ms) are told by rows of no width: hand in buckets.
 */
export function gapsOf(history: ZoneHistory): readonly SummaryGap[] {
  const gaps = new Map<string, { fromMs: number; toMs: number; sides: Side[] }>()
  for (const side of SIDES) {
    const n = history.series[side]?.n
    if (n === undefined) continue
    for (const { fromMs, toMs } of emptyStretches(history, n)) {
      const key = `${fromMs} ${toMs}`
      const known = gaps.get(key)
      if (known === undefined) gaps.set(key, { fromMs, toMs, sides: [side] })
      else known.sides.push(side)
    }
  }
  return [...gaps.values()].sort((a, b) => a.fromMs - b.fromMs)
}

function emptyStretches(
  { timesMs, bucketMs, fromMs, toMs }: ZoneHistory,
  n: readonly number[],
): readonly { fromMs: number; toMs: number }[] {
  const found: { fromMs: number; toMs: number }[] = []
  let goodUntilMs = fromMs
  const noteUntil = (nextGoodMs: number) => {
    if (nextGoodMs - goodUntilMs > bucketMs / 2) found.push({ fromMs: goodUntilMs, toMs: nextGoodMs })
  }
  for (const [i, startMs] of timesMs.entries()) {
    if ((n[i] ?? 0) === 0) continue
    noteUntil(Math.min(startMs, toMs))
    goodUntilMs = startMs + bucketMs
  }
  noteUntil(toMs)
  return found
}
