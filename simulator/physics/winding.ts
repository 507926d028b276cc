/** The roll after the measuring roller winds up the web: its radius is `path.after.radius`, and grows. Lengths in m. */
export interface WindingParameters {
  coreRadius: number
  fullRadius: number
  /** Of the web. */
  thickness: number
}

/**
 * Radius after `length` more metres of web: the side face grows by thickness × length, π(r′² − r²) = h ℓ.
 * A roll that is full gives way to a bare core at once, as on a turret.
 */
export function woundRadius({ coreRadius, fullRadius, thickness }: WindingParameters, radius: number, length: number) {
  const next = Math.sqrt(radius * radius + (thickness * length) / Math.PI)
  return next < fullRadius ? next : coreRadius
}
