/** Parts of a load that the two cells carry; they add to 1. */
export interface Shares {
  readonly drive_side: number
  readonly operator_side: number
}

/**
 * How a pull at `offset` from mid-span (towards the operator side, m) is shared between two cells
 * `distance` apart: operator side ½ + e/L, drive side ½ − e/L. A pull beyond a cell lifts the other
 * one (share under 0). Source: balance of moments of a beam on two supports. Throws RangeError for a
 * distance that is not positive.
 */
export function sharesOf(offset: number, distance: number): Shares {
  if (!(distance > 0)) throw new RangeError(`distance between the cells ${distance} m: expected more than 0`)
  return { drive_side: 0.5 - offset / distance, operator_side: 0.5 + offset / distance }
}

/** Imbalance 2e/L of a pull at `offset`, as a fraction; positive when the operator side carries more. Equal force factors. */
export const imbalanceOf = (offset: number, distance: number): number => (2 * offset) / distance

/** Line of pull I·L/2 of an imbalance, m towards the operator side. Equal force factors. */
export const lineOfPull = (imbalance: number, distance: number): number => (imbalance * distance) / 2

/**
 * Where the force on the roller acts, m: e = (T e_T − m v² e_w)/(T − m v²), from the line of pull e_T of the tension
 * and the web's centre e_w: the momentum is shared evenly over the web whatever the tension does. NaN for a web that
 * presses no more. Source: balance of moments.
 */
export function lineOfForce(tension: number, momentum: number, lineOfTension: number, webCentre: number): number {
  const force = tension - momentum
  return force > 0 ? (tension * lineOfTension - momentum * webCentre) / force : Number.NaN
}

/**
 * The other way: where the tension acts, m: e_T = (F e + m v² e_w)/T with F = T − m v², in web newtons.
 * NaN for a slack web (T = 0).
 */
export function lineOfTension(tension: number, momentum: number, lineOfForce: number, webCentre: number): number {
  return tension === 0 ? Number.NaN : ((tension - momentum) * lineOfForce + momentum * webCentre) / tension
}

/** Imbalance tan²(δ/2) that one arrow δ off the bisector makes by itself (the other right, web centred): 1.1 % at 12°. */
export const imbalanceOfOneArrowOff = (off: number): number => Math.tan(off / 2) ** 2
