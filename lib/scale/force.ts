import type { ForceScale } from '../../shared/schemas/config.ts'
import { toSi } from '../../shared/units.ts'

/** Force along the arrow in N: (reading − zero) × gain, in the scale's unit, as SI. */
export function forceN(scale: ForceScale, reading: number): number {
  return toSi('force', (reading - scale.zero) * scale.gain, scale.unit)
}

/** Rated capacity of the cell in N. */
export function capacityN(scale: ForceScale): number {
  return toSi('force', scale.capacity, scale.unit)
}

/** |force| as a share of the rated capacity. */
export function shareOfCapacity(scale: ForceScale, reading: number): number {
  return Math.abs((reading - scale.zero) * scale.gain) / scale.capacity
}
