import type { Cell } from './decimate.ts'
import type { PictureColumn } from './picture.ts'

/** Turns a time and a value into canvas pixels. */
export interface Projection {
  x(tMs: number): number
  y(value: number): number
}

/** A dash pattern in time: dashes stay with the signal as it scrolls, instead of crawling along it. */
export interface TimeDash {
  readonly onMs: number
  readonly periodMs: number
}

/** The line through the means, broken at every null; solid, or dashed in time. A value on its own is a short stroke. */
export function linePath(x: readonly number[], column: PictureColumn, to: Projection, dash: TimeDash | null): Path2D {
  const path = new Path2D()
  const { mean, lo, hi } = column
  let penX = Number.NaN
  for (let i = 0; i < x.length; i++) {
    const value = mean[i]
    const t = x[i] ?? 0
    if (value === null || value === undefined) {
      // A lone value beside a gap; where there are several, the band shows them.
      const only = lo[i]
      if (only !== null && only !== undefined && only === hi[i]) markPoint(path, to.x(t), to.y(only))
      continue
    }
    const before = mean[i - 1]
    if (before === null || before === undefined) {
      penX = Number.NaN
      if (mean[i + 1] === null || mean[i + 1] === undefined) markPoint(path, to.x(t), to.y(value))
      continue
    }
    const beforeT = x[i - 1] ?? 0
    if (dash === null) {
      if (Number.isNaN(penX)) path.moveTo(to.x(beforeT), to.y(before))
      path.lineTo(to.x(t), to.y(value))
      penX = t
    } else penX = dashes(path, beforeT, before, t, value, to, dash, penX)
  }
  return path
}

/** The parts of one segment that lie in a dash. Returns the time at which the pen still touches the paper. */
function dashes(
  path: Path2D,
  t0: number,
  v0: number,
  t1: number,
  v1: number,
  to: Projection,
  dash: TimeDash,
  pen: number,
): number {
  let touching = pen
  const valueAt = (t: number) => v0 + ((v1 - v0) * (t - t0)) / (t1 - t0)
  for (let start = Math.floor(t0 / dash.periodMs) * dash.periodMs; start < t1; start += dash.periodMs) {
    const from = Math.max(start, t0)
    const until = Math.min(start + dash.onMs, t1)
    if (until <= from) continue
    if (touching !== from) path.moveTo(to.x(from), to.y(valueAt(from)))
    path.lineTo(to.x(until), to.y(valueAt(until)))
    touching = until
  }
  return touching
}

function markPoint(path: Path2D, x: number, y: number): void {
  path.moveTo(x - 1.5, y)
  path.lineTo(x + 1.5, y)
}

/** One bar a bucket, lowest to highest, on whole pixels; none where there was a single value. */
export function paintBand(
  ctx: CanvasRenderingContext2D,
  x: readonly number[],
  column: PictureColumn,
  to: Projection,
  width: number,
): void {
  for (let i = 0; i < x.length; i++) {
    const lo = column.lo[i]
    const hi = column.hi[i]
    if (lo === null || hi === null || lo === undefined || hi === undefined || hi === lo) continue
    const top = Math.floor(to.y(hi))
    // Both edges rounded alike: neighbours touch, and never lie over one another.
    const left = Math.round(to.x(x[i] ?? 0) - width / 2)
    const right = Math.round(to.x(x[i] ?? 0) + width / 2)
    ctx.fillRect(left, top, Math.max(1, right - left), Math.max(1, Math.ceil(to.y(lo)) - top))
  }
}

/** A stretch of canvas, in time. */
export interface Stretch {
  readonly fromMs: number
  readonly toMs: number
}

/** Stretches in which a column has no sample to draw, bridging buckets that hold none but bad ones. */
export function emptyStretches(cells: readonly (Cell | null)[], column: number, bucketMs: number): Stretch[] {
  return stretches(cells, bucketMs, (cell) => {
    const own = cell?.columns[column]
    return own === undefined || own.drawable === 0
  })
}

/** Stretches whose samples are drawn but only uncertain. */
export function uncertainStretches(cells: readonly (Cell | null)[], column: number, bucketMs: number): Stretch[] {
  return stretches(cells, bucketMs, (cell) => {
    const own = cell?.columns[column]
    return own !== undefined && own.uncertainByte !== 0
  })
}

function stretches(cells: readonly (Cell | null)[], bucketMs: number, isIn: (cell: Cell | null) => boolean): Stretch[] {
  const found: Stretch[] = []
  let fromMs: number | null = null
  let previous: Cell | null = null
  for (const cell of cells) {
    const edge: number = cell === null ? (previous?.lastMs ?? Number.NaN) : cell.firstMs
    if (isIn(cell)) fromMs ??= edge
    else if (fromMs !== null) {
      found.push({ fromMs, toMs: Math.max(edge, fromMs + bucketMs) })
      fromMs = null
    }
    if (cell !== null) previous = cell
  }
  if (fromMs !== null) found.push({ fromMs, toMs: Math.max(previous?.lastMs ?? fromMs, fromMs + bucketMs) })
  return found
}
