/** Plane vectors of the side view: x downstream, y up, metres or newtons; angles in radians, counter-clockwise from +x. */
export interface Vector {
  readonly x: number
  readonly y: number
}

export const vector = (x: number, y: number): Vector => ({ x, y })
export const add = (a: Vector, b: Vector): Vector => ({ x: a.x + b.x, y: a.y + b.y })
export const subtract = (a: Vector, b: Vector): Vector => ({ x: a.x - b.x, y: a.y - b.y })
export const times = (a: Vector, factor: number): Vector => ({ x: a.x * factor, y: a.y * factor })
export const dot = (a: Vector, b: Vector): number => a.x * b.x + a.y * b.y
export const length = (a: Vector): number => Math.hypot(a.x, a.y)
export const angleOf = (a: Vector): number => Math.atan2(a.y, a.x)
export const unitAt = (angle: number): Vector => ({ x: Math.cos(angle), y: Math.sin(angle) })
/** The vector a quarter turn counter-clockwise. */
export const quarterTurn = (a: Vector): Vector => ({ x: -a.y, y: a.x })

const FULL_TURN = 2 * Math.PI
export const radians = (degrees: number): number => (degrees * Math.PI) / 180
export const degrees = (rad: number): number => (rad * 180) / Math.PI

/** The angle in [0, 2π). */
export function positiveAngle(angle: number): number {
  const turned = angle % FULL_TURN
  return turned < 0 ? turned + FULL_TURN : turned
}

/** The angle in (−π, π]. */
export function signedAngle(angle: number): number {
  const turned = positiveAngle(angle)
  return turned > Math.PI ? turned - FULL_TURN : turned
}
