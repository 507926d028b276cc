import type { Side } from '../../shared/sample.ts'
import { type ForceContribution, forcePerKilogram } from '../calibration/known-force.ts'
import { ropeFactor, ropeWrap } from '../calibration/rope.ts'
import { trioOf, type ZoneGeometry } from '../geometry/description.ts'
import { offBisector } from '../geometry/force-factor.ts'
import { ImpossiblePath } from '../geometry/path-fault.ts'
import { ofSide } from '../geometry/sided.ts'
import { radians } from '../geometry/vector.ts'
import type { Wrap } from '../geometry/wrap.ts'
import { paperState, type VerificationContext } from './context.ts'

/** Standard uncertainties that a known weight brings where nothing else is known (common practice, no source). */
const U_WRAP = radians(0.5)
/** Of a side’s share of the weight: a rope some millimetres off mid-span. */
export const U_SHARE = 0.002
const U_GRAVITY = 0.0005
const U_MASS_RELATIVE = 0.0005
const AIR_SHARE = 1.5e-4

export interface KnownForce {
  /** Newtons along the side's arrow of a kilogram on the rope at mid-span. */
  readonly perKilogram: number
  readonly contributions: readonly ForceContribution[]
}

/**
 * Force that a weight on a rope along the web path puts along a side's arrow; undefined without geometry, and where no
 * rope that thick can run so.
 * @param ropeDiameter m
 */
export function knownForce(context: VerificationContext, side: Side, ropeDiameter: number): KnownForce | undefined {
  const { geometry: configured, zone, sides } = context
  if (configured === null) return undefined
  const { geometry, uncertainties } = configured
  const wrap = wrapOfRope(geometry, paperState(zone, configured).neighbour, ropeDiameter)
  if (wrap === undefined) return undefined
  const factor = ropeFactor(
    { value: wrap.angle, u: U_WRAP },
    { value: offBisector(ofSide(geometry.cells, side).arrow, wrap), u: uncertainties.arrow },
  )
  const { newtons, contributions } = forcePerKilogram({
    gravity: { value: geometry.gravity, u: U_GRAVITY },
    factor,
    share: { value: sides.length === 1 ? 1 : 0.5, u: sides.length === 1 ? 0 : U_SHARE },
    uMassRelative: U_MASS_RELATIVE,
    airShare: AIR_SHARE,
  })
  return { perKilogram: newtons, contributions }
}

function wrapOfRope(geometry: ZoneGeometry, neighbour: number | null, ropeDiameter: number): Wrap | undefined {
  try {
    const { before, measuring, after } = trioOf(geometry, neighbour)
    return ropeWrap(before, measuring, after, ropeDiameter)
  } catch (error) {
    if (error instanceof ImpossiblePath) return undefined
    throw error
  }
}
