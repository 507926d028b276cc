/** How the possible values of an input are spread; a normal of finite degrees of freedom is taken as Student's t. */
export type Shape = 'normal' | 'rectangular'

/** A value with its standard uncertainty. */
export interface Uncertain {
  readonly value: number
  /** Standard uncertainty, same unit; 0 for a value that is known outright. */
  readonly u: number
  /** Degrees of freedom of u; absent when unbounded. */
  readonly dof?: number
  /** Absent for a normal. */
  readonly shape?: Shape
}

/** A named input of a computation. */
export interface Input extends Uncertain {
  readonly name: string
  readonly unit: string
  /** Where the uncertainty came from. */
  readonly source?: string
}

/** Two inputs that do not vary apart: −1 ≤ r ≤ 1. */
export interface Correlation {
  readonly between: readonly [string, string]
  readonly r: number
}

export const exactly = (value: number): Uncertain => ({ value, u: 0 })
export const within = (value: number, u: number): Uncertain => ({ value, u })

/** A value known to lie within ± half, all places alike: u = half/√3 (JCGM 100, 4.3.7). */
export const rectangular = (value: number, half: number): Uncertain => ({
  value,
  u: half / Math.sqrt(3),
  shape: 'rectangular',
})
