import type { Roller } from '../geometry/tangent.ts'
import { type Wrap, wrapOf } from '../geometry/wrap.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'

/**
 * Wrap of the measuring roller by a rope: the rope's own centre line runs half its diameter outside every roller,
 * so the tangents, and with unequal radii or crossed spans the wrap, differ from the web's.
 * Throws ImpossibleTangent naming the rollers. Source: plane geometry of common tangents.
 *
 * @param diameter of the rope, m
 */
export function ropeWrap(before: Roller, measuring: Roller, after: Roller, diameter: number): Wrap {
  const carrying = (roller: Roller): Roller => ({ ...roller, radius: roller.radius + diameter / 2 })
  return wrapOf(carrying(before), carrying(measuring), carrying(after))
}

/**
 * Newtons along the arrow per newton of rope tension, k = 2 sin(θ/2) cos δ, and u(k) from u(θ) and u(δ)
 * (belt resultant of statics textbooks; propagation JCGM 100, 5.1.2, second-order term of δ included because
 * the first vanishes with the arrow on the bisector: 5.1.2 note).
 *
 * @param wrap θ, rad · @param offBisector δ of the arrow, rad
 */
export function ropeFactor(wrap: Uncertain, offBisector: Uncertain): Uncertain {
  const size = 2 * Math.sin(wrap.value / 2)
  const aligned = Math.cos(offBisector.value)
  const fromWrap = Math.cos(wrap.value / 2) * aligned * wrap.u
  const fromArrow = size * Math.sin(offBisector.value) * offBisector.u
  const fromArrowSquared = (size * aligned * offBisector.u ** 2) / Math.SQRT2
  return { value: size * aligned, u: Math.hypot(fromWrap, fromArrow, fromArrowSquared) }
}
