import type { FigureLimit } from '../../../shared/schemas/now.ts'
import { extentOf, type Picture } from '../../_plots/picture.ts'
import type { Stretch } from '../../_plots/trace-paths.ts'
import type { TrendPoint } from './trend.ts'

export interface Extent {
  readonly lo: number
  readonly hi: number
}

export interface RangeParts {
  readonly picture: Picture
  readonly earlier: Picture | null
  /** Where the web ran steadily; null for a band whose scale takes in everything. */
  readonly steady: readonly Stretch[] | null
  readonly trend: readonly TrendPoint[]
  /** Set when the scale shall reach to the limit. */
  readonly limit: FigureLimit | null
}

/**
 * What a band's scale has to hold. A share of the tension means nothing while the web is slack or starts: where
 * steady running is known, the scale goes by that, and the rest may leave it.
 */
export function bandExtent({ picture, earlier, steady, trend, limit }: RangeParts): Extent | null {
  const within = steady === null || steady.length === 0 ? null : extentWithin(picture, steady)
  const parts = [
    within ?? extentOf(picture),
    earlier === null ? null : steady === null ? extentOf(earlier) : (extentOfMeans(earlier) ?? null),
    ...trend.map(({ lo, hi }) => ({ lo, hi })),
    limit === null ? null : { lo: limit.target - limit.half, hi: limit.target + limit.half },
  ]
  return parts.reduce(both, null)
}

function both(a: Extent | null, b: Extent | null): Extent | null {
  if (a === null || b === null) return a ?? b
  return { lo: Math.min(a.lo, b.lo), hi: Math.max(a.hi, b.hi) }
}

/** Lowest and highest of the rows whose time lies in one of the stretches (in order of time); null when none does. */
function extentWithin(picture: Picture, stretches: readonly Stretch[]): Extent | null {
  let lo = Number.POSITIVE_INFINITY
  let hi = Number.NEGATIVE_INFINITY
  let at = 0
  for (const [i, t] of picture.x.entries()) {
    while ((stretches[at]?.toMs ?? Number.POSITIVE_INFINITY) <= t) at++
    const stretch = stretches[at]
    if (stretch === undefined) break
    if (t < stretch.fromMs) continue
    for (const column of picture.columns) {
      const low = column.lo[i]
      const high = column.hi[i]
      if (low != null && low < lo) lo = low
      if (high != null && high > hi) hi = high
    }
  }
  return lo <= hi ? { lo, hi } : null
}

/** Of an earlier stretch only its means are drawn; its starts and stops must not make the scale. */
function extentOfMeans(picture: Picture): Extent | null {
  const values = picture.columns.flatMap(({ mean }) => mean.filter((v) => v !== null)).sort((a, b) => a - b)
  const at = (share: number) => values[Math.round(share * (values.length - 1))]
  const [lo, hi] = [at(0.02), at(0.98)]
  return lo === undefined || hi === undefined ? null : { lo, hi }
}
