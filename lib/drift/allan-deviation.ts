import type { MinuteSeries } from './minute-series.ts'

export interface AllanPoint {
  /** Points averaged together. */
  readonly m: number
  readonly deviation: number
  /** Differences it rests on. */
  readonly n: number
}

/**
 * Overlapping Allan deviation of a row of evenly spaced averages, NaN where one is missing:
 * σ²(m) = Σ(ȳ_{j+m} − ȳ_j)²/2N over all j, ȳ_j the mean of m values from j on (W. J. Riley, NIST Special Publication 1065
 * (2008), 5.2.4, for frequency data). A mean with a missing value is left out. Undefined where no pair of means is whole.
 */
export function allanDeviation(y: readonly number[], m: number): AllanPoint | undefined {
  const sums = new Float64Array(y.length + 1)
  const missing = new Int32Array(y.length + 1)
  for (const [i, value] of y.entries()) {
    const isMissing = Number.isNaN(value)
    sums[i + 1] = (sums[i] as number) + (isMissing ? 0 : value)
    missing[i + 1] = (missing[i] as number) + (isMissing ? 1 : 0)
  }
  let square = 0
  let n = 0
  for (let j = 0; j + 2 * m <= y.length; j += 1) {
    if (missing[j + 2 * m] !== missing[j]) continue
    const [from, middle, to] = [sums[j] as number, sums[j + m] as number, sums[j + 2 * m] as number]
    const apart = (to - 2 * middle + from) / m
    square += apart * apart
    n += 1
  }
  return n === 0 ? undefined : { m, deviation: Math.sqrt(square / (2 * n)), n }
}

/** A deviation is shown from so many averages of its length on. */
const LEAST_AVERAGES = 4

/** Deviations at averaging times of 1, 2, 4 … points, as long as four whole averages fit into what there is. */
export function allanCurve(series: MinuteSeries): AllanPoint[] {
  const row = onGrid(series)
  const most = series.y.length / LEAST_AVERAGES
  const points: AllanPoint[] = []
  for (let m = 1; m <= most; m *= 2) {
    const point = allanDeviation(row, m)
    if (point !== undefined && point.n >= 2 * m) points.push(point)
  }
  return points
}

/** Every point in its place, NaN between. */
function onGrid({ tMs, y, widthMs }: MinuteSeries): number[] {
  const origin = tMs[0] ?? 0
  const place = (t: number): number => Math.round((t - origin) / widthMs)
  const row = new Array<number>(y.length === 0 ? 0 : place(tMs.at(-1) ?? 0) + 1).fill(Number.NaN)
  for (const [i, value] of y.entries()) row[place(tMs[i] as number)] = value
  return row
}
