import type { UncertaintyInput } from '../statistics/systematic.ts'
import type { Uncertain } from '../uncertainty/uncertain.ts'

/** How a hung weight becomes a force along a cell's arrow. */
export interface WeightSetUp {
  /** Local acceleration of gravity, m/s² (entered, or `gravityAt` of lib/geometry). */
  readonly gravity: Uncertain
  /** Newtons along the arrows of both sides together per newton of rope tension: see `ropeFactor`. */
  readonly factor: Uncertain
  /** Share of it that this cell carries: ½ for each of two with the rope at mid-span, 1 for one cell or the sum. */
  readonly share: Uncertain
  /** Relative standard uncertainty of every mass, wholly correlated: weights of one set share one standard. */
  readonly uMassRelative: number
  /** Density of air over density of the weights; 1.5e-4 for steel and for a conventional mass (OIML D 28, 1.2/8000). */
  readonly airShare: number
}

/** Relative standard uncertainty of a force and where it comes from. */
export interface ForceContribution {
  readonly name: string
  readonly value: number
  readonly unit: string
  readonly u: number
  /** u(F)/F because of it. */
  readonly relative: number
}

/**
 * Force along the arrow of one cell per kilogram hung on the rope, N/kg, and its relative contributions:
 * F = share · k · m · g · (1 − ρ_air/ρ_weight).
 *
 * The buoyancy form is that of force standards of dead weights (ASTM E74; from memory, no document seen); the
 * geometry is the belt resultant. All contributions are common to every weight of the series, so they move the
 * gain as a whole and leave the shape alone (JCGM 100, 5.2.2). Throws RangeError on a force factor, share or
 * gravity of 0, which would let no force through.
 */
export function forcePerKilogram(setUp: WeightSetUp): {
  readonly newtons: number
  readonly contributions: readonly ForceContribution[]
} {
  const { gravity, factor, share, uMassRelative, airShare } = setUp
  const newtons = share.value * factor.value * gravity.value * (1 - airShare)
  if (!Number.isFinite(newtons) || newtons === 0)
    throw new RangeError('gravity, force factor and share must be finite and not 0')
  const relative = (name: string, unit: string, { value, u }: Uncertain): ForceContribution => ({
    name,
    value,
    unit,
    u,
    relative: u / Math.abs(value),
  })
  return {
    newtons,
    contributions: [
      { name: 'mass of the weights', value: 100, unit: '%', u: 100 * uMassRelative, relative: uMassRelative },
      relative('local gravity', 'm/s²', gravity),
      relative('force factor of the rope', '1', factor),
      relative('share of this cell', '1', share),
    ],
  }
}

/** A force contribution as it moves a figure that is proportional to the force scale. */
export function asInput({ name, value, unit, u, relative }: ForceContribution, figure: number): UncertaintyInput {
  return { name, value, unit, u, contribution: Math.abs(figure) * relative }
}
