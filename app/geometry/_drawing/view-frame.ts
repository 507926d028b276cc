import type { Roller } from '../../../lib/geometry/tangent.ts'
import type { Vector } from '../../../lib/geometry/vector.ts'

/** Part of the side view that is shown, m. */
export interface Bounds {
  readonly left: number
  readonly right: number
  readonly bottom: number
  readonly top: number
}

/** How metres of the side view become pixels of the picture, to one scale both ways. */
export interface ViewFrame {
  readonly width: number
  readonly height: number
  /** Pixels a metre. */
  readonly scale: number
  /** Downstream is on the left: the view is from the other end. */
  readonly isMirrored: boolean
  readonly centre: Vector
}

/** Bounds grow in such steps, m, so that a small move does not change the scale. */
const STEP = 0.05
/** A picture shows no less than this, m. */
const LEAST = 0.2

/** What holds all these circles. */
export function boundsOf(rollers: readonly Roller[]): Bounds {
  const down = (value: number) => Math.floor(value / STEP) * STEP
  const up = (value: number) => Math.ceil(value / STEP) * STEP
  return {
    left: down(Math.min(...rollers.map(({ centre, radius }) => centre.x - radius))),
    right: up(Math.max(...rollers.map(({ centre, radius }) => centre.x + radius))),
    bottom: down(Math.min(...rollers.map(({ centre, radius }) => centre.y - radius))),
    top: up(Math.max(...rollers.map(({ centre, radius }) => centre.y + radius))),
  }
}

/** Whether a picture of `held` still serves: all is in it, and it is not much too large. */
export function stillServes(held: Bounds, needed: Bounds): boolean {
  const holds =
    held.left <= needed.left && held.right >= needed.right && held.bottom <= needed.bottom && held.top >= needed.top
  const size = (b: Bounds) => Math.max(b.right - b.left, b.top - b.bottom, LEAST)
  return holds && size(held) < 1.4 * size(needed)
}

/** The frame that shows the bounds in so many pixels with a margin all round. */
export function frameOf(bounds: Bounds, width: number, height: number, margin: number, isMirrored: boolean): ViewFrame {
  const across = Math.max(LEAST, bounds.right - bounds.left)
  const high = Math.max(LEAST, bounds.top - bounds.bottom)
  const scale = Math.max(1, Math.min((width - 2 * margin) / across, (height - 2 * margin) / high))
  const centre = { x: (bounds.left + bounds.right) / 2, y: (bounds.bottom + bounds.top) / 2 }
  return { width, height, scale, isMirrored, centre }
}

/** Place in the picture, px from its upper left corner. */
export function toPicture({ width, height, scale, isMirrored, centre }: ViewFrame, { x, y }: Vector): Vector {
  const right = (x - centre.x) * scale
  return { x: width / 2 + (isMirrored ? -right : right), y: height / 2 - (y - centre.y) * scale }
}

/** Place in the side view, m. */
export function toModel({ width, height, scale, isMirrored, centre }: ViewFrame, { x, y }: Vector): Vector {
  const right = (x - width / 2) / scale
  return { x: centre.x + (isMirrored ? -right : right), y: centre.y + (height / 2 - y) / scale }
}

/** A direction of the side view as a direction of the picture (y downwards). */
export function directionInPicture({ isMirrored }: Pick<ViewFrame, 'isMirrored'>, { x, y }: Vector): Vector {
  return { x: isMirrored ? -x : x, y: -y }
}

/** A round length, mm, that takes up between 60 and 150 px. */
export function scaleBar({ scale }: ViewFrame): number {
  const steps = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000]
  return steps.find((mm) => (mm / 1000) * scale >= 60) ?? 10_000
}
