import type { ZoneHistory } from '../../shared/schemas/history.ts'
import type { SummaryGap } from '../../shared/schemas/shift-summary.ts'

type Side = SummaryGap['sides'][number]
const SIDES: readonly Side[] = ['drive_side', 'operator_side', 'single']
/** Between samples a gap is so many times their usual distance, and no less than a second. */
const MISSED_PERIODS = 3
const LEAST_BETWEEN_SAMPLES_MS = 1000

/**
 * Stretches of a history in which a side has no good sample, oldest first; those of two sides that begin and end
 * together are one. Told by rows: a shorter loss within a row is none. Rows that are missing at either end count, as
 * far as the answer reaches. Where each row is a sample (0 ms), a gap is longer than `leastGapMs`.
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

/** Length from which a gap of any side is told, ms: a row; between samples some of the usual distances of the slowest side. */
export function leastGapMs(history: ZoneHistory): number {
  if (history.bucketMs > 0) return history.bucketMs
  return Math.max(0, ...SIDES.map((side) => leastBetweenSamplesMs(history.timesMs, history.series[side]?.n ?? [])))
}

function emptyStretches(
  { timesMs, bucketMs, fromMs, toMs }: ZoneHistory,
  n: readonly number[],
): readonly { fromMs: number; toMs: number }[] {
  const leastMs = bucketMs > 0 ? bucketMs / 2 : leastBetweenSamplesMs(timesMs, n)
  const found: { fromMs: number; toMs: number }[] = []
  let goodUntilMs = fromMs
  const noteUntil = (nextGoodMs: number) => {
    if (nextGoodMs - goodUntilMs > leastMs) found.push({ fromMs: goodUntilMs, toMs: nextGoodMs })
  }
  for (const [i, startMs] of timesMs.entries()) {
    if ((n[i] ?? 0) === 0) continue
    noteUntil(Math.min(startMs, toMs))
    goodUntilMs = startMs + bucketMs
  }
  noteUntil(toMs)
  return found
}

/** The usual distance is the lower quartile, so that gaps do not make it. */
function leastBetweenSamplesMs(timesMs: readonly number[], n: readonly number[]): number {
  const good = timesMs.filter((_, i) => (n[i] ?? 0) > 0)
  const apart = good.slice(1).map((t, i) => t - (good[i] ?? t))
  apart.sort((a, b) => a - b)
  return Math.max(LEAST_BETWEEN_SAMPLES_MS, MISSED_PERIODS * (apart[Math.floor(apart.length / 4)] ?? 0))
}
