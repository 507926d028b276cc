/** A vector in the plane of the side view: x downstream, y up. SI (m or N by use). */
export interface Vec2 {
  readonly x: number
  readonly y: number
}

export const vec = (x: number, y: number): Vec2 => ({ x, y })
export const add = (a: Vec2, b: Vec2): Vec2 => vec(a.x + b.x, a.y + b.y)
export const subtract = (a: Vec2, b: Vec2): Vec2 => vec(a.x - b.x, a.y - b.y)
export const times = (a: Vec2, k: number): Vec2 => vec(a.x * k, a.y * k)
export const dot = (a: Vec2, b: Vec2): number => a.x * b.x + a.y * b.y
export const length = (a: Vec2): number => Math.hypot(a.x, a.y)
/** Unit vector at `angle` radians, counter-clockwise from +x. */
export const atAngle = (angle: number): Vec2 => vec(Math.cos(angle), Math.sin(angle))
/** A quarter turn counter-clockwise. */
export const quarterTurn = (a: Vec2): Vec2 => vec(-a.y, a.x)
