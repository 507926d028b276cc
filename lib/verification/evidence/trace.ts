import { qualityByte } from '../../../shared/quality.ts'
import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification/capture.ts'
import { type CapturedRows, goodOf } from './rows.ts'

/** Two points a bucket: its lowest and its highest, in their order, so that no spike is lost. */
const MOST_BUCKETS = 200
const MISSING = qualityByte('missing')

/**
 * The picture of a capture: seconds from its begin, null where a bucket holds no good sample. A bucket is as long as two
 * samples of the slowest side at least, so that null is a gap and never a slow device.
 */
export function traceOf(rows: CapturedRows, sides: readonly Side[], fromMs: number, toMs: number): Capture['trace'] {
  const count = bucketsFor(rows, sides)
  const width = (toMs - fromMs) / count
  const t: number[] = []
  for (let bucket = 0; bucket < count; bucket += 1)
    t.push(((bucket + 0.25) * width) / 1000, ((bucket + 0.75) * width) / 1000)
  const columns = sides.map((side) => [side, columnOf(rows, side, fromMs, width, count)] as const)
  return { t: t.map((s) => Number(s.toFixed(4))), sides: Object.fromEntries(columns) }
}

/** Good and bad ones count: a side that answers badly is no slow one. */
function bucketsFor({ columns, codes }: CapturedRows, sides: readonly Side[]): number {
  const samples = sides.map(
    (side) => codes[columns.indexOf(side)]?.reduce((n, code) => (code === MISSING ? n : n + 1), 0) ?? 0,
  )
  const fewest = Math.min(...samples.filter((n) => n > 0))
  return Number.isFinite(fewest) ? Math.min(MOST_BUCKETS, Math.max(1, Math.floor(fewest / 2))) : 1
}

function columnOf(rows: CapturedRows, side: Side, fromMs: number, width: number, count: number): (number | null)[] {
  const { tMs, values } = goodOf(rows, side)
  const buckets = Array.from({ length: count }, () => ({ low: Number.NaN, high: Number.NaN, lowAt: 0, highAt: 0 }))
  for (const [i, value] of values.entries()) {
    const bucket = buckets[Math.min(count - 1, Math.floor(((tMs[i] ?? fromMs) - fromMs) / width))]
    if (bucket === undefined) continue
    if (!(value >= bucket.low)) Object.assign(bucket, { low: value, lowAt: i })
    if (!(value <= bucket.high)) Object.assign(bucket, { high: value, highAt: i })
  }
  return buckets.flatMap(({ low, high, lowAt, highAt }) => {
    if (Number.isNaN(low)) return [null, null]
    const pair = lowAt <= highAt ? [low, high] : [high, low]
    return pair.map((value) => Number(value.toPrecision(6)))
  })
}
