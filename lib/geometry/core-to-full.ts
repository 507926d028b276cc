import { trioOf, type ZoneGeometry } from './description.ts'
import { forceFactor } from './force-factor.ts'
import { rangeOf } from './neighbour.ts'
import { mapSides, type Sided } from './sided.ts'
import { wrapOf } from './wrap.ts'

/** How the force factor of a side runs over the range of a moving neighbour. */
interface Spread {
  /** At the ends of the range: core and full roll, or lowest and highest arm. */
  readonly from: number
  readonly to: number
  readonly least: number
  readonly most: number
  /** (most − least) over their mean, %. */
  readonly percent: number
}

export interface CoreToFull {
  readonly values: readonly number[]
  /** rad, at each value. */
  readonly wraps: readonly number[]
  readonly forceFactors: Sided<readonly number[]>
  readonly spread: Sided<Spread>
}

/** Places looked at over the range: the factor bends so little between them that their least and most are the range's. */
const PLACES = 101

/**
 * Wrap and force factors over the whole range of the moving neighbour, the arrows standing still.
 * Undefined when nothing moves. Throws ImpossiblePath where the web cannot run at some place of the range.
 */
export function coreToFull(geometry: ZoneGeometry): CoreToFull | undefined {
  const { moving, cells } = geometry
  if (moving === null) return undefined
  const [from, to] = rangeOf(moving)
  const values = Array.from({ length: PLACES }, (_, i) => from + ((to - from) * i) / (PLACES - 1))
  const wraps = values.map((value) => {
    const { before, measuring, after } = trioOf(geometry, value)
    return wrapOf(before, measuring, after)
  })
  const forceFactors = mapSides(cells, ({ arrow }) => wraps.map((wrap) => forceFactor(arrow, wrap)))
  return { values, wraps: wraps.map(({ angle }) => angle), forceFactors, spread: mapSides(forceFactors, spreadOf) }
}

function spreadOf(factors: readonly number[]): Spread {
  const least = Math.min(...factors)
  const most = Math.max(...factors)
  return {
    from: factors[0] ?? Number.NaN,
    to: factors.at(-1) ?? Number.NaN,
    least,
    most,
    percent: (200 * (most - least)) / Math.abs(most + least),
  }
}
