import type { ExpectedPoint } from '../../shared/protocol/expected.ts'
import type { Side } from '../../shared/sample.ts'
import { EXPECTED_HOLE_MS } from '../_stream/expected-history.ts'
import type { LinearMap } from './picture.ts'
import type { Projection } from './trace-paths.ts'

/** What was expected of one column, in shown units: stretches without a gap. */
export interface ExpectedBand {
  readonly stretches: readonly (readonly BandPoint[])[]
}

interface BandPoint {
  readonly tMs: number
  readonly middle: number
  readonly lo: number
  readonly hi: number
}

/** The expected force of a side between two times, broken wherever nothing was expected or no picture came. */
export function expectedBand(
  points: readonly ExpectedPoint[],
  side: Side,
  { factor, offset }: LinearMap,
  fromMs: number,
  toMs: number,
): ExpectedBand {
  const stretches: BandPoint[][] = []
  let open: BandPoint[] | null = null
  for (const { tMs, at } of points) {
    // A picture beyond either edge, so that the band runs to it.
    if (tMs < fromMs - EXPECTED_HOLE_MS || tMs > toMs + EXPECTED_HOLE_MS) continue
    const expected = at?.[side]
    const before: BandPoint | undefined = open?.at(-1)
    if (expected === undefined || (before !== undefined && tMs - before.tMs > EXPECTED_HOLE_MS)) open = null
    if (expected === undefined) continue
    if (open === null) {
      open = []
      stretches.push(open)
    }
    const middle = expected.value * factor + offset
    const half = Math.abs(expected.U * factor)
    open.push({ tMs, middle, lo: middle - half, hi: middle + half })
  }
  return { stretches }
}

/** Lowest and highest of some bands; null when there is nothing. */
export function bandExtent(bands: readonly ExpectedBand[]): { lo: number; hi: number } | null {
  const points = bands.flatMap(({ stretches }) => stretches.flat())
  if (points.length === 0) return null
  return {
    lo: points.reduce((least, { lo }) => Math.min(least, lo), Number.POSITIVE_INFINITY),
    hi: points.reduce((most, { hi }) => Math.max(most, hi), Number.NEGATIVE_INFINITY),
  }
}

/** The outline of a stretch, upper edge forth and lower edge back, and its middle line. */
export function bandPaths(points: readonly BandPoint[], to: Projection): { outline: Path2D; middle: Path2D } {
  const outline = new Path2D()
  const middle = new Path2D()
  for (const [i, { tMs, hi, middle: value }] of points.entries()) {
    if (i === 0) {
      outline.moveTo(to.x(tMs), to.y(hi))
      middle.moveTo(to.x(tMs), to.y(value))
    } else {
      outline.lineTo(to.x(tMs), to.y(hi))
      middle.lineTo(to.x(tMs), to.y(value))
    }
  }
  for (const { tMs, lo } of points.toReversed()) outline.lineTo(to.x(tMs), to.y(lo))
  outline.closePath()
  return { outline, middle }
}
