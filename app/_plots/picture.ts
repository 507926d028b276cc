import type { Cell, ColumnCell } from './decimate.ts'

/** One column as the plot draws it: plain arrays as long as `Picture.x`, with null where there is nothing. */
export interface PictureColumn {
  /**
   * What the line joins: the sample, or the mean of the bucket. Null at a gap, in a bucket that a gap
   * runs through, and where only lowest and highest are known. A plot must break its line at null;
   * NaN or undefined would be drawn straight across.
   */
  readonly mean: (number | null)[]
  /** Lowest and highest of the bucket; joined to each other only, never to their neighbours. */
  readonly lo: (number | null)[]
  readonly hi: (number | null)[]
}

export interface Picture {
  /** Epoch ms, ascending: a lone sample at its own time, a bucket at its middle. */
  readonly x: number[]
  readonly columns: readonly PictureColumn[]
  /** The bucket behind each x; null for a row that only breaks the lines at a hole in time. */
  readonly cells: readonly (Cell | null)[]
}

/** SI value → shown value: value × factor + offset. */
export interface LinearMap {
  readonly factor: number
  readonly offset: number
}

/** Turns the buckets that touch `fromMs`–`toMs` into arrays to plot, each column in its unit. */
export function pictureOf(
  cells: readonly Cell[],
  fromMs: number,
  toMs: number,
  bucketMs: number,
  units: readonly LinearMap[],
): Picture {
  const x: number[] = []
  const shown: (Cell | null)[] = []
  const columns = units.map((): PictureColumn => ({ mean: [], lo: [], hi: [] }))
  let previousMs = Number.NaN
  for (const cell of cellsBetween(cells, fromMs, toMs, bucketMs)) {
    if (cell.holeBefore && x.length > 0) {
      x.push((previousMs + cell.firstMs) / 2)
      shown.push(null)
      for (const column of columns) pushNothing(column)
    }
    x.push(cellTime(cell, bucketMs))
    shown.push(cell)
    for (const [c, column] of columns.entries()) {
      const { factor, offset } = units[c] ?? { factor: 1, offset: 0 }
      pushCell(column, cell.columns[c], cell.holeInside, factor, offset)
    }
    previousMs = cell.lastMs
  }
  return { x, columns, cells: shown }
}

function cellsBetween(cells: readonly Cell[], fromMs: number, toMs: number, bucketMs: number): readonly Cell[] {
  // One bucket more on either side, so that the line runs to the edges.
  const first = Math.floor(fromMs / bucketMs) - 1
  const last = Math.floor(toMs / bucketMs) + 1
  const start = lowerBound(cells, first)
  const end = lowerBound(cells, last + 1)
  // Where samples are further apart than buckets, the neighbour sample lies further out.
  return cells.slice(Math.max(0, start - 1), end + 1)
}

function lowerBound(cells: readonly Cell[], bucket: number): number {
  let low = 0
  let high = cells.length
  while (low < high) {
    const middle = (low + high) >>> 1
    if ((cells[middle]?.bucket ?? 0) < bucket) low = middle + 1
    else high = middle
  }
  return low
}

function cellTime(cell: Cell, bucketMs: number): number {
  if (cell.rows === 1) return cell.firstMs
  return Math.min(Math.max((cell.bucket + 0.5) * bucketMs, cell.firstMs), cell.lastMs)
}

function pushNothing(column: PictureColumn): void {
  column.mean.push(null)
  column.lo.push(null)
  column.hi.push(null)
}

function pushCell(
  column: PictureColumn,
  cell: ColumnCell | undefined,
  holeInside: boolean,
  factor: number,
  offset: number,
): void {
  if (cell === undefined || cell.drawable === 0) {
    pushNothing(column)
    return
  }
  const isWhole = cell.bad === 0 && !holeInside && !cell.hasEnvelope
  column.mean.push(isWhole ? (cell.sum / cell.drawable) * factor + offset : null)
  // A cell that reads pull as push turns lowest and highest round.
  column.lo.push((factor < 0 ? cell.hi : cell.lo) * factor + offset)
  column.hi.push((factor < 0 ? cell.lo : cell.hi) * factor + offset)
}

/** Lowest and highest shown value of all columns; null when nothing is shown. */
export function extentOf(picture: Picture): { lo: number; hi: number } | null {
  let lo = Number.POSITIVE_INFINITY
  let hi = Number.NEGATIVE_INFINITY
  for (const column of picture.columns) {
    for (let i = 0; i < column.lo.length; i++) {
      const low = column.lo[i]
      const high = column.hi[i]
      if (low !== null && low !== undefined && low < lo) lo = low
      if (high !== null && high !== undefined && high > hi) hi = high
    }
  }
  return lo <= hi ? { lo, hi } : null
}
