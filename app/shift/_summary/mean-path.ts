import type { Stretch } from '../../../lib/summary/steady.ts'
import type { ZoneHistory } from '../../../shared/schemas/history.ts'

/** The means of a history as an SVG path, broken wherever a row has none or rows are missing. */
export function meanPath(
  { timesMs, bucketMs }: Pick<ZoneHistory, 'timesMs' | 'bucketMs'>,
  values: readonly (number | null)[],
  x: (tMs: number) => number,
  y: (value: number) => number,
): string {
  let path = ''
  let isDown = false
  for (const [i, startMs] of timesMs.entries()) {
    const value = values[i] ?? null
    const isNext = i > 0 && startMs - (timesMs[i - 1] ?? 0) <= bucketMs * 1.5
    if (value !== null) {
      const place = `${x(startMs + bucketMs / 2).toFixed(1)} ${y(value).toFixed(1)}`
      path += isDown && isNext ? `L${place}` : `M${place}h.01`
    }
    isDown = value !== null
  }
  return path
}

const TAIL = 0.01

/** Ends of a scale that a few wild rows (a start, a stop) do not make: the middle 98 % of the values, with some air. */
export function robustExtent(values: readonly (number | null)[]): { lo: number; hi: number } | null {
  const sorted = values.filter((v) => v !== null).sort((a, b) => a - b)
  const [lo, hi] = [sorted[Math.floor(TAIL * (sorted.length - 1))], sorted[Math.ceil((1 - TAIL) * (sorted.length - 1))]]
  if (lo === undefined || hi === undefined) return null
  const air = Math.max((hi - lo) * 0.08, Math.abs(hi) * 1e-3, 1e-6)
  return { lo: lo - air, hi: hi + air }
}

/** The values of rows that lie wholly in one of the stretches; all of them where there is none. */
export function within(
  { timesMs, bucketMs }: Pick<ZoneHistory, 'timesMs' | 'bucketMs'>,
  values: readonly (number | null)[],
  stretches: readonly Stretch[],
): readonly (number | null)[] {
  if (stretches.length === 0) return values
  return values.filter((_, i) => {
    const startMs = timesMs[i] ?? 0
    return stretches.some(({ fromMs, toMs }) => startMs >= fromMs && startMs + bucketMs <= toMs)
  })
}
