import type { Side } from '../../../shared/sample.ts'
import type { Capture } from '../../../shared/schemas/verification.ts'
import { type CapturedRows, goodOf } from './rows.ts'

/** Two points a bucket: its lowest and its highest, in their order, so that no spike is lost. */
const BUCKETS = 200

/** The picture of a capture: seconds from its begin, null where a bucket holds no good sample. */
export function traceOf(rows: CapturedRows, sides: readonly Side[], fromMs: number, toMs: number): Capture['trace'] {
  const width = (toMs - fromMs) / BUCKETS
  const t: number[] = []
  for (let bucket = 0; bucket < BUCKETS; bucket += 1)
    t.push(((bucket + 0.25) * width) / 1000, ((bucket + 0.75) * width) / 1000)
  const columns = sides.map((side) => [side, columnOf(rows, side, fromMs, width)] as const)
  return { t: t.map((s) => Number(s.toFixed(4))), sides: Object.fromEntries(columns) }
}

function columnOf(rows: CapturedRows, side: Side, fromMs: number, width: number): (number | null)[] {
  const { tMs, values } = goodOf(rows, side)
  const buckets = Array.from({ length: BUCKETS }, () => ({ low: Number.NaN, high: Number.NaN, lowAt: 0, highAt: 0 }))
  for (const [i, value] of values.entries()) {
    const bucket = buckets[Math.min(BUCKETS - 1, Math.floor(((tMs[i] ?? fromMs) - fromMs) / width))]
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
