import type { LinearMap } from '../../_plots/picture.ts'
import { sampleHoleMs } from '../_model/band-picture.ts'
import type { Band } from '../_model/bands.ts'
import { firstEndingAfter, type HistoryRows, type RowsLine } from '../_model/history-rows.ts'

/** What one line shows at a time, in shown units. */
export interface LineReading {
  readonly label: string
  readonly unit: string
  /** Null where no good sample was. */
  readonly value: { readonly mean: number; readonly lo: number; readonly hi: number; readonly n: number } | null
  /** It was measured, and says nothing: a share of a slack web. */
  readonly isBlank: boolean
}

export interface CursorReading {
  readonly tMs: number
  /** Start and end of the row under the cursor; both the sample's own time at full rate. Null where there is none. */
  readonly row: { readonly fromMs: number; readonly toMs: number } | null
  readonly lines: readonly LineReading[]
}

/**
 * The rows under a time: of buckets the one that holds the time; at full rate, of each line its nearest good sample,
 * if one is as near as its samples may be apart.
 */
export function cursorReading(
  rows: HistoryRows | null,
  bands: readonly Band[],
  tMs: number,
  holeMs: number,
): CursorReading {
  const at = rows === null ? null : rowAt(rows, tMs, holeMs)
  const startMs = at === null ? Number.NaN : (rows?.startsMs[at] ?? Number.NaN)
  return {
    tMs,
    row: rows === null || at === null ? null : { fromMs: startMs, toMs: startMs + rows.bucketMs },
    lines: bands.flatMap(({ unit, lines }) =>
      lines.map(({ series, label, map }): LineReading => {
        const line = rows?.lines.get(series)
        const own = rows === null || line === undefined || at === null ? null : goodNear(rows, line, at, tMs, holeMs)
        const isBlank = own === null && at !== null && (line?.n[at] ?? 0) > 0
        return { label, unit, isBlank, value: line === undefined || own === null ? null : rowValue(line, own, map) }
      }),
    ),
  }
}

function rowValue(line: RowsLine, i: number, { factor, offset }: LinearMap): NonNullable<LineReading['value']> {
  const shown = (si: number | undefined) => (si ?? Number.NaN) * factor + offset
  const ends = [shown(line.min[i]), shown(line.max[i])]
  return { mean: shown(line.mean[i]), lo: Math.min(...ends), hi: Math.max(...ends), n: line.n[i] ?? 0 }
}

function rowAt(rows: HistoryRows, tMs: number, holeMs: number): number | null {
  const { startsMs, bucketMs } = rows
  const after = firstEndingAfter(rows, tMs)
  if (bucketMs > 0) return (startsMs[after] ?? Number.POSITIVE_INFINITY) <= tMs ? after : null
  const far = (i: number) => Math.abs((startsMs[i] ?? Number.POSITIVE_INFINITY) - tMs)
  const nearest = after > 0 && far(after - 1) <= far(after) ? after - 1 : after
  return far(nearest) <= holeMs ? nearest : null
}

/** The row at `at` or, of samples, the nearest to it with a good one; null where none is near enough. */
function goodNear(rows: HistoryRows, line: RowsLine, at: number, tMs: number, holeMs: number): number | null {
  const isGood = (i: number) => !Number.isNaN(line.mean[i] ?? Number.NaN)
  if (isGood(at)) return at
  if (rows.bucketMs > 0) return null
  const reach = Math.max(holeMs, sampleHoleMs(rows, line)) / 2
  const far = (i: number) => Math.abs((rows.startsMs[i] ?? Number.POSITIVE_INFINITY) - tMs)
  for (let step = 1; far(at - step) <= reach || far(at + step) <= reach; step++) {
    const near = [at - step, at + step].filter((i) => far(i) <= reach && isGood(i)).sort((a, b) => far(a) - far(b))
    if (near[0] !== undefined) return near[0]
  }
  return null
}
